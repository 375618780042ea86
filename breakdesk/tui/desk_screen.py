"""What every screen of the desk shares: head and foot, its name, its commands, and what was done last."""

from __future__ import annotations

from collections.abc import Callable, Coroutine
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.css.query import NoMatches
from textual.screen import Screen

from breakdesk.tui.commands import EVERYWHERE
from breakdesk.tui.failures import Steady
from breakdesk.tui.keys import enter_command, keys_in_sight, undo_key
from breakdesk.tui.masking import Secret
from breakdesk.tui.widgets.head_line import HeadLine
from breakdesk.tui.widgets.key_line import KeyLine, StatusLine
from breakdesk.tui.widgets.long_list import LongList

if TYPE_CHECKING:
    from breakdesk.tui.base import DeskApp

DAY_CHECK_SECONDS = 30
"""How often a screen looks whether midnight has passed: the program may run through it."""


class DeskScreen(Steady, Screen[Any]):
    """A screen of the desk: it names itself, says what it is, registers its commands and composes its body."""

    TITLE_WORDS: ClassVar[str] = ""
    """The title in the head line."""
    ABOUT: ClassVar[str] = ""
    """One or two sentences for help: what this screen is."""
    CONTEXT: ClassVar[str] = EVERYWHERE
    """The context under which its commands are registered."""
    ENTER_WORDS: ClassVar[str] = ""
    """What Enter does on its list, in a word or two; shown among its keys while the list has the cursor."""

    TAKES_IN_WHILE_TYPING: ClassVar[bool] = False
    """Whether it may be shown anew while somebody has half a line in one of its fields."""

    @property
    def desk_app(self) -> DeskApp:
        """The app, with the desk on it."""
        return cast("DeskApp", self.app)

    @property
    def busy(self) -> bool:
        """Whether something goes on here that going to another place and back must not stop."""
        return False

    def compose(self) -> ComposeResult:
        """Lay out head, body and foot."""
        yield HeadLine(self.TITLE_WORDS, self.desk_app.desk_name, self.desk_app.today(), id="head")
        yield from self.compose_body()
        with Vertical(id="foot"):
            yield StatusLine(id="status")
            yield KeyLine(id="keys")

    def compose_body(self) -> ComposeResult:
        """Give what stands between head and foot."""
        yield from ()

    def on_mount(self) -> None:
        """Show the keys and the day, and show them anew when they change."""
        self.set_interval(DAY_CHECK_SECONDS, self._show_day)
        self.bindings_updated_signal.subscribe(self, lambda _screen: self._show_keys())
        self._show_keys()

    def on_screen_resume(self) -> None:
        """Show the day anew: it may be another since this screen was left."""
        self._show_day()

    def take_in(self) -> None:
        """Show anew what another desk may have changed."""
        self.on_screen_resume()

    def say(self, *sentence: str | Secret, undoable: bool = False) -> None:
        """Say at the foot of the screen what was done, and by which key it is undone."""
        self.query_one(StatusLine).say(*sentence, undoable=undoable)

    def read_anew(self, work: Callable[[], Coroutine[Any, Any, None]], description: str) -> None:
        """Read what is shown in a worker; a later wish takes the place of one under way.

        The function is given, not its coroutine: one that is superseded before it began ends without a trace.
        """

        async def read() -> None:
            try:
                await work()
            except NoMatches:
                # Somebody left while the desk still read, and there is nothing any more to show it on.
                if self.display:
                    raise

        self.run_worker(cast("Any", read), group="read", exclusive=True, description=description)

    def action_press_enter(self) -> None:
        """Do what Enter does on a list, for a click on the key."""
        if isinstance(self.focused, LongList):
            self.focused.action_select()

    def _show_day(self) -> None:
        for head in self.query(HeadLine):
            head.show(day=self.desk_app.today())

    def _show_keys(self) -> None:
        typing = self.focused is not None and self.focused.check_consume_key("a", "a")
        commands, rebound = self.desk_app.commands_here(self), self.desk_app.rebound
        here = keys_in_sight(commands, rebound, typing=typing)
        if self.ENTER_WORDS and isinstance(self.focused, LongList):
            here.insert(0, enter_command(self.ENTER_WORDS))
        for line in self.query(KeyLine):
            line.show(here, keys=rebound)
        for status in self.query(StatusLine):
            status.show_undo_key(undo_key(commands, rebound, typing=typing))
