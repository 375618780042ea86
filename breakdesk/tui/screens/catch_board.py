"""The spot board: who owns what, and what they have hit."""

from __future__ import annotations

from collections.abc import Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.geometry import Size

from breakdesk.tui.dialogs import Dialog
from breakdesk.tui.screens.catch_words import BoardRow
from breakdesk.tui.widgets.cells import cut, fit
from breakdesk.tui.widgets.lines import QUIET, STRONG, Lines, words

HITS = 4
GAP = 2
MOST_COLUMNS = 3
COLUMN = 40
"""Cells that one column of the board wants."""


class Board(Lines):
    """The spots in as many columns as there is room for; on the side it is cut to its height and says so."""

    def __init__(self, *, whole: bool = False, id: str | None = None) -> None:
        super().__init__(id=id)
        self._rows: Sequence[BoardRow] = ()
        self._whole = whole

    def show(self, rows: Sequence[BoardRow]) -> None:
        """Show other spots."""
        if list(rows) != list(self._rows):
            self._rows = tuple(rows)
            self.refresh(layout=self._whole)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Take what it needs in a dialog, what there is on the side."""
        return len(self.build(width)) if self._whole else container.height

    def build(self, width: int) -> list[Content]:
        """Return the spots, column after column."""
        if not self._rows:
            return [words("This break has no spots.", QUIET)]
        columns = max(1, min(MOST_COLUMNS, (width + GAP) // (COLUMN + GAP)))
        each = (width - GAP * (columns - 1)) // columns
        height = -(-len(self._rows) // columns)
        more = 0
        if not self._whole:
            room = max(1, self.content_size.height)
            if height > room:
                more = len(self._rows) - (room - 1) * columns
                height = room - 1
        lines = []
        for place in range(height):
            cells: list[Content | str] = []
            for column in range(columns):
                index = column * height + place
                if index < len(self._rows):
                    cells += [" " * GAP if column else "", self._row(self._rows[index], each)]
            lines.append(Content.assemble(*cells))
        if more > 0:
            lines.append(words(f"and {more} more: Ctrl+F", QUIET))
        return lines

    def _row(self, row: BoardRow, width: int) -> Content:
        room = width - HITS - 1
        left = room * 11 // 20
        owner = self.shown(row.owner)
        style = STRONG if row.hits else ""
        return Content.assemble(
            words(fit(row.holds, left), style),
            " ",
            words(fit(cut(owner, room - left), room - left), QUIET if owner == "unsold" else style),
            words(f"{row.hits or '·':>{HITS}}", style if row.hits else QUIET),
        )


class BoardDialog(Dialog[None]):
    """The whole board."""

    def __init__(self, title: str, rows: Sequence[BoardRow]) -> None:
        super().__init__(title)
        self._rows = rows

    def compose_body(self) -> ComposeResult:
        """Give the board, scrolled where it is long."""
        with VerticalScroll(id="dialog-text"):
            yield Board(whole=True, id="board-page")

    def on_mount(self) -> None:
        """Fill it in."""
        self.query_one("#board-page", Board).show(self._rows)
