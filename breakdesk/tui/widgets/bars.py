"""Bars with their numbers before them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from textual.content import Content

from breakdesk.tui.widgets.cells import fit
from breakdesk.tui.widgets.lines import ACCENT, QUIET, STRONG, Lines, spaces, width_of, words

GAP = 2
SHORTEST_BAR = 6
LONGEST_BAR = 60


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar."""

    label: str
    amount: int
    """What the length shows; never below 0."""
    words: str = ""
    """Further words after the number, such as a sum of money."""


def bar_line(amount: int, most: int, width: int) -> str:
    """Return a bar in proportion to the longest; whatever is not nothing has at least half a cell."""
    if amount <= 0 or most <= 0:
        return ""
    halves = max(1, round(2 * width * amount / most))
    return "━" * (halves // 2) + "╸" * (halves % 2)


class Bars(Lines):
    """Label, number, words and bar in four columns, the bar last; the words drop out where the line is short."""

    def __init__(self, bars: Iterable[Bar] = (), *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._bars = tuple(bars)

    def show(self, bars: Iterable[Bar]) -> None:
        """Show other bars."""
        self._bars = tuple(bars)
        self.refresh(layout=True)

    def build(self, width: int) -> list[Content]:
        """Return one line a bar."""
        most = max((bar.amount for bar in self._bars), default=0)
        label_width = max((width_of(bar.label) for bar in self._bars), default=0)
        number_width = max((len(f"{bar.amount:,}") for bar in self._bars), default=0)
        words_width = max((width_of(bar.words) for bar in self._bars), default=0)
        room = width - label_width - number_width - 2 * GAP
        if words_width and room - GAP - words_width < SHORTEST_BAR:
            words_width = 0
        bar_width = min(LONGEST_BAR, max(1, room - (GAP + words_width if words_width else 0)))
        lines: list[Content] = []
        for bar in self._bars:
            tone = "" if bar.amount else QUIET
            parts = [
                words(fit(bar.label, label_width), QUIET),
                words(f"{' ' * GAP}{bar.amount:>{number_width},}", STRONG if bar.amount else QUIET),
            ]
            if words_width:
                parts += [spaces(GAP), words(fit(bar.words, words_width, right=True), tone)]
            lines.append(Content.assemble(*parts, spaces(GAP), words(bar_line(bar.amount, most, bar_width), ACCENT)))
        return lines
