"""What all parts of the Catch screen share: its seat, its lists, its dialogs, and how an action is carried out."""

from __future__ import annotations

from collections.abc import Awaitable, Coroutine, Sequence
from typing import TYPE_CHECKING, Any, cast

from textual.screen import Screen

from breakdesk.desk.breaks import BreakState, Caught
from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.rules.entry import code_in
from breakdesk.tui.choices import Choice
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import Dialog, Pick
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.catch_seats import Seat, Seats
from breakdesk.tui.widgets.long_list import LongList

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk


class CatchBase(DeskScreen):
    """The state of the Catch screen, and the small steps that its actions are made of."""

    def __init__(self) -> None:
        super().__init__()
        self.seats = Seats({})
        self.state: BreakState | None = None
        self.caught: list[Caught] = []
        self.no_code = ""
        """A line of which was said that it is a claim, although it looks like a code."""

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    @property
    def seat(self) -> Seat | None:
        """The break at which a person sits; None before one was chosen."""
        return self.seats.taken

    @property
    def target(self) -> Caught | None:
        """The claim that an action is about: the one chosen in the list, else the newest."""
        listed = self.query_one("#caught", LongList)
        if listed.has_focus and listed.current is not None:
            return cast("Caught", listed.current.key)
        return self.caught[0] if self.caught else None

    def do(self, work: Coroutine[Any, Any, None]) -> None:
        """Run what a key started; nothing that writes is ever cut short by the next key."""
        self.run_worker(work, group="write", exit_on_error=False, description="a step of the night")

    async def ask(self, dialog: Dialog[Any]) -> Any:
        """Show a dialog and wait for its answer."""
        return await self.app.push_screen_wait(cast("Screen[Any]", dialog))

    async def pick(self, title: str, choices: Sequence[Choice], *parts: str | Secret) -> str | None:
        """Ask for one of several; the answer is the id of a choice."""
        return cast("str | None", await self.ask(Pick(title, choices, *parts)))

    async def carry_out(self, work: Awaitable[Result], *said: str | Secret) -> Done | None:
        """Wait for an action and say what came of it; `said` are words for the stream in place of the action's own."""
        result = await work
        if isinstance(result, Problem):
            self.say(result.sentence)
            return None
        words = said or (result.said,)
        warnings = f" {' '.join(result.warnings)}" if result.warnings else ""
        self.say(*words, warnings, undoable=bool(result.claims))
        await self.refresh_night()
        return result

    async def refresh_night(self) -> None:
        """Read and show the break, its last claims and its spots."""
        raise NotImplementedError

    def code_in(self, text: str) -> str:
        """The code that was typed or scanned into the line of claims, where the stream would read it."""
        if self.no_code and text.startswith(self.no_code):
            return ""
        table = None if self.seat is None else self.seat.table
        return code_in(text, None if table is None else table.lexicon)

    def holds_code(self, text: str) -> bool:
        """Whether there is one."""
        return bool(self.code_in(text))

    async def take_code(self, text: str) -> None:
        """Ask what is to be done with the code in a line of claims."""
        raise NotImplementedError

    async def sit(self, break_id: int | None, *, anew: bool = False) -> None:
        """Sit down at a break; `anew` reads its table again."""
        raise NotImplementedError
