"""Bars with their numbers beside them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from textual.content import Content

from breakdesk.tui.widgets.cells import fit
from breakdesk.tui.widgets.lines import ACCENT, QUIET, Lines, spaces, width_of, words

GAP = 2
SHORTEST_BAR = 6


@dataclass(frozen=True, slots=True)
class Bar:
    """One bar."""

    label: str
    amount: int
    """What the length shows; never below 0."""
    words: str = ""
    """Further words behind the number, such as a sum of money."""


def bar_line(amount: int, most: int, width: int) -> str:
    """Return a bar in proportion to the longest; whatever is not nothing has at least half a cell."""
    if amount <= 0 or most <= 0:
        return ""
    halves = max(1, round(2 * width * amount / most))
    return "━" * (halves // 2) + "╸" * (halves % 2)


class Bars(Lines):
    """Labels, bars, numbers and words in four columns; the words drop out where the line is short."""

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
        fixed = label_width + GAP + GAP + number_width
        if words_width and width - fixed - GAP - words_width < SHORTEST_BAR:
            words_width = 0
        bar_width = max(1, width - fixed - (GAP + words_width if words_width else 0))
        lines: list[Content] = []
        for bar in self._bars:
            drawn = bar_line(bar.amount, most, bar_width)
            parts = [
                words(fit(bar.label, label_width), QUIET),
                spaces(GAP),
                words(drawn, ACCENT),
                spaces(bar_width - len(drawn) + GAP),
                words(f"{bar.amount:>{number_width},}", "bold" if bar.amount else QUIET),
            ]
            if words_width:
                parts += [spaces(GAP), words(fit(bar.words, words_width, right=True), "" if bar.amount else QUIET)]
            lines.append(Content.assemble(*parts))
        return lines
