"""A round that several desks walk: each says which item it has open, and sees where another has the same."""

from __future__ import annotations

from typing import Any, ClassVar, cast

from breakdesk.desk.marks import put_mark, take_mark_away
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.screens.acting_screen import ActingScreen

MARK_SECONDS = 2.0
"""How often a round says which item is open, and looks whether another desk has the same."""


class SharedRound(ActingScreen):
    """What a round does where other desks are listened to; alone at a desk it does nothing."""

    ROUND: ClassVar[str] = ""
    """The round's name, under which it is parked and remembered."""

    def open_key(self) -> str:
        """The key of the item that is open; empty where none is."""
        raise NotImplementedError

    def open_elsewhere(self) -> Paragraph:
        """The line that says who else has the item open; it takes no room while nobody has."""
        line = Paragraph(id="round-mark", style="bold $accent")
        line.display = False
        return line

    def on_mount(self) -> None:
        """Say from time to time what is open here."""
        if self.desk.has_other_desks:
            self.set_interval(MARK_SECONDS, self.say_what_is_open)

    def on_unmount(self) -> None:
        """Let others know that nothing is open here any more."""
        if self.desk.has_other_desks:
            self.desk.queue(take_mark_away)

    def say_what_is_open(self) -> None:
        """Put this desk's mark on the open item, and show the marks of others on it."""
        if self.desk.has_other_desks and self.is_current and self.open_key():
            work = cast("Any", self._put_mark)
            self.run_worker(work, group="mark", exclusive=True, exit_on_error=False, description="mark")

    async def _put_mark(self) -> None:
        said = await self.desk.call(put_mark, self.ROUND, self.open_key())
        line = self.query_one("#round-mark", Paragraph)
        line.show(said)
        line.display = bool(said)
