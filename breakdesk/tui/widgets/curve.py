"""The outlook's curve with its band, drawn in plain characters in the room that there is."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Final

from textual.content import Content

from breakdesk.desk.curve_drawing import BAND, CURVE, HERE, LEAST_HEIGHT, Mark, draw_curve
from breakdesk.rules.outlook import Curve
from breakdesk.tui.widgets.lines import ACCENT, QUIET, Lines, words

LINES_BELOW: Final = 2
"""The axis and its days."""
WIDEST, TALLEST = 100, 21


class CurvePicture(Lines):
    """Draws a curve; nothing where there is none to draw."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._curve: Curve | None = None
        self._marks: Sequence[Mark] = ()

    def show(self, curve: Curve | None, marks: Sequence[Mark] = ()) -> None:
        """Show another curve, with marks on its axis."""
        self._curve, self._marks = curve, marks
        self.refresh(layout=True)

    def build(self, width: int) -> list[Content]:
        """Return the lines of the picture."""
        if self._curve is None:
            return []
        height = min(TALLEST, max(LEAST_HEIGHT, self.content_size.height - LINES_BELOW))
        # With an odd number of rows one of them is exactly one half.
        height -= height % 2 == 0
        lines = draw_curve(self._curve, min(width, WIDEST), height, self._marks)
        return [_line(text) if "|" in text else _axis(text) for text in lines]


def _axis(text: str) -> Content:
    if not text.lstrip().startswith("+"):
        return words(text, QUIET)
    runs = groupby(text, key=str.isdigit)
    return Content.assemble(*(words("".join(run), f"bold {ACCENT}" if marks else QUIET) for marks, run in runs))


def _line(text: str) -> Content:
    label, _, picture = text.partition("|")
    parts = [words(f"{label}|", QUIET)]
    for sign, run in groupby(picture):
        style = f"bold {ACCENT}" if sign == CURVE else QUIET if sign in (BAND, HERE) else ""
        parts.append(words("".join(run), style))
    return Content.assemble(*parts)
