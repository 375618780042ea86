"""What screens share that act on the desk: dialogs in a row, what was said, and undo by name."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Coroutine, Iterable
from datetime import date
from typing import TYPE_CHECKING, Any, cast

from textual.screen import Screen

from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.desk.undoing import undo
from breakdesk.rules.tags import with_tags_shown
from breakdesk.tui.choices import Choice
from breakdesk.tui.day_entry import HINT, day_check, read_day
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import AskText, Dialog, Pick
from breakdesk.tui.masking import Secret
from breakdesk.tui.veiling import veiled

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

UNDO_KEYS = ("u", "f12")
"""A letter, and a key that works while a field has the cursor too."""
UNDO_OFFERED = 12
"""How many of a screen's own actions are offered to be undone."""


class ActingScreen(DeskScreen):
    """A screen from which things are done, each of which can be undone by name."""

    def __init__(self) -> None:
        """Make the screen; nothing was done on it yet."""
        super().__init__()
        self._acted: list[tuple[Done, Secret]] = []
        self._dialogs = 0
        self._turn = asyncio.Lock()

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def hidden(self) -> tuple[Secret, ...]:
        """What must not be read on air in sentences about what is open now."""
        return ()

    async def reload(self) -> None:
        """Read anew what is shown."""
        raise NotImplementedError

    def came_from_dialog(self) -> bool:
        """Whether the screen is resumed after a dialog of its own, when what it shows was read a moment ago."""
        if self._dialogs:
            self._dialogs -= 1
            return True
        return False

    def read_again(self) -> None:
        """Read again what is shown; a reading that is under way is superseded."""
        self.read_anew(self.reload, "read what is shown")

    def walk(self, work: Coroutine[Any, Any, None]) -> None:
        """Run what a key started, after what the keys before it started; nothing that writes is ever cut short."""
        self.run_worker(self._in_turn(work), group="write", exit_on_error=False, description="a step of a person")

    async def _in_turn(self, work: Coroutine[Any, Any, None]) -> None:
        try:
            async with self._turn:
                await work
        finally:
            work.close()

    async def ask(self, dialog: Dialog[Any]) -> Any:
        """Show a dialog and wait for its answer."""
        self._dialogs += 1
        return await self.app.push_screen_wait(cast("Screen[Any]", dialog))

    async def pick(self, title: str, choices: Iterable[tuple[str, str | Secret]], *parts: str | Secret) -> str | None:
        """Ask for one of several; the answer is the first part of a choice."""
        answer = await self.ask(Pick(title, [Choice(key, label) for key, label in choices], *parts))
        return cast("str | None", answer)

    async def ask_words(self, title: str, *parts: str | Secret) -> str | None:
        """Ask for a few words that are needed."""
        return cast("str | None", await self.ask(AskText(title, *parts, check=needed)))

    async def ask_day(self, title: str, *parts: str | Secret) -> date | None:
        """Ask for a day from today on."""
        today = self.desk.today()
        text = await self.ask(AskText(title, *parts, HINT, check=day_check(today)))
        return None if text is None else read_day(text, today)

    async def carry_out(self, work: Awaitable[Result], *more: Secret, undoable: bool = True) -> Done | None:
        """Wait for a desk action, say what came of it, and keep it to be undone; None where it was refused.

        `more` are secrets beside the screen's own that the sentence may hold; what is not `undoable` is changed back
        by the same key that did it.
        """
        secrets = (*self.hidden(), *more)
        result = await work
        if isinstance(result, Problem):
            self.say(veiled(result.sentence, secrets))
            return None
        undoable = undoable and result.number is not None
        if undoable:
            self.keep_done(result, secrets)
        self.say(veiled(" ".join((result.said, *result.warnings)), secrets), undoable=undoable)
        return result

    def keep_done(self, done: Done, secrets: Iterable[Secret]) -> None:
        """Keep something that was done, to be undone here by name."""
        self._acted.append((done, veiled(done.said, secrets)))

    async def changed(self, work: Awaitable[Result]) -> None:
        """Carry out what changes the item but does not finish it, and show it anew."""
        if await self.carry_out(work) is not None:
            await self.reload()

    def action_undo(self) -> None:
        """Undo something by name."""
        self.walk(self._undo())

    async def _undo(self) -> None:
        if not self._acted:
            self.say("Nothing was done here yet. On Today, u lists what was done before.")
            return
        latest = list(reversed(self._acted))[:UNDO_OFFERED]
        key = await self.pick("Undo which one?", [(str(done.key), _with_tags(said)) for done, said in latest])
        if key is None:
            return
        result = await self.desk.call(undo, int(key))
        if isinstance(result, Problem):
            self.say(result.sentence)
            return
        self._acted = [(done, said) for done, said in self._acted if done.key != int(key)]
        self.say(result.said)
        await self.reload()


def _with_tags(said: Secret) -> Secret:
    return Secret(said.kind, with_tags_shown(said.shown(on_air=False)), with_tags_shown(str(said)))


def needed(text: str) -> str | None:
    """A check for dialogs: some words are needed."""
    return None if text.strip() else "A few words are enough."
