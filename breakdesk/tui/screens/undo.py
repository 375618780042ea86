"""The last actions, each of which can be taken back or done again by name."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult

from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem
from breakdesk.desk.undoing import Undoable, last_actions, undo
from breakdesk.rules.tags import with_tags_shown
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import Confirm
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk


def _last(_desk: Desk) -> list[Undoable]:
    return last_actions(100)


class UndoScreen(DeskScreen):
    """What was done last."""

    TITLE_WORDS = "Undo"
    ABOUT = (
        "What was done last, newest first. Enter takes one back, where nothing later stands on it; taking back an "
        "“undo” does the action again. The history keeps both."
    )
    CONTEXT = "undo"
    ENTER_WORDS = "Take back"
    BINDINGS = bindings(())

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the list."""
        yield LongList(
            [
                Column(title="No.", width=6, right=True),
                Column(title="What", width=20, stretch=1),
                Column(title="Claims", width=20, stretch=2),
            ],
            empty="Nothing was done yet.",
            id="undo-list",
        )

    def on_screen_resume(self) -> None:
        """Read anew."""
        self.read_anew(self._show, "list the last actions")

    async def _show(self) -> None:
        rows = [
            Row(item, (str(item.number), item.words, with_tags_shown(item.names)))
            for item in await self.desk.call(_last)
        ]
        self.query_one(LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        self.query_one(LongList).focus()

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Ask before taking something back."""
        item = cast("Undoable", event.row.key)
        named = with_tags_shown(f"{item.what} {item.names}".strip())
        again = item.takes_back
        question = f"Do again: {named}?" if again else f"Take back: {named}?"
        self.app.push_screen(
            Confirm(question, "Both stay in the history.", yes="Do it again" if again else "Take it back"),
            lambda yes: self._undo(item) if yes else None,
        )

    def _undo(self, item: Undoable) -> None:
        self.run_worker(self._take_back(item), group="write", description="take back")

    async def _take_back(self, item: Undoable) -> None:
        result = await self.desk.call(undo, item.key)
        self.say(result.sentence if isinstance(result, Problem) else result.said)
        await self._show()
