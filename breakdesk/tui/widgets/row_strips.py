"""One line of a list as a strip: its cells in their columns, or one text over the whole width."""

from __future__ import annotations

from collections.abc import Sequence

from rich.segment import Segment
from rich.style import Style
from textual.strip import Strip

from breakdesk.tui.masking import Secret, shown
from breakdesk.tui.widgets.cells import cut, fit
from breakdesk.tui.widgets.columns import GAP, Column, Place

MARGIN = 2
"""Cells before the first column, where the cursor's sign stands."""


def row_strip(
    cells: Sequence[str | Secret],
    columns: Sequence[Column],
    places: Sequence[Place],
    *,
    sign: str,
    style: Style,
    quiet: Style,
    on_air: bool,
    width: int,
) -> Strip:
    """Return the cells of a row in their places; `sign` stands in the margin, `quiet` is for quiet columns."""
    segments = [Segment(f"{sign} ", style)]
    for number, place in enumerate(places):
        column = columns[place.index]
        if number:
            segments.append(Segment(" " * GAP, style))
        text = shown(cells[place.index], on_air=on_air) if place.index < len(cells) else ""
        segments.append(Segment(fit(text, place.width, right=column.right), quiet if column.quiet else style))
    return Strip(segments).adjust_cell_length(width, style)


def text_strip(text: str, style: Style, width: int) -> Strip:
    """Return one text where the rows would stand."""
    return Strip([Segment(" " * MARGIN + cut(text, width - MARGIN), style)]).adjust_cell_length(width, style)
