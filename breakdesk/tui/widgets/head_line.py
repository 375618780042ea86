"""The line at the top of every screen: where one is, whose desk it is, which day it is, and the air."""

from __future__ import annotations

from datetime import date

from textual.content import Content

from breakdesk.tui.widgets.cells import cut
from breakdesk.tui.widgets.lines import QUIET, STRONG, Lines, width_of, words

ON_AIR_WORDS = "ON AIR"
OFF_AIR_WORDS = "OFF AIR: codes, addresses and names can be seen"
OFF_AIR_SHORT = "OFF AIR: not hidden"
WIDE = 100
"""Cells from which on the long words stand."""
SHORTEST_NAME = 8
GAP = 3

_WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_MONTHS = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
]


def day_words(day: date, *, weekday: bool = True) -> str:
    """Return a day as people write it: Tuesday 3 March 2026."""
    written = f"{day.day} {_MONTHS[day.month - 1]} {day.year}"
    return f"{_WEEKDAYS[day.weekday()]} {written}" if weekday else written


class HeadLine(Lines):
    """One line; off air all of it is a badge, because that is the state in which harm can happen."""

    def __init__(self, title: str, desk_name: str, day: date, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._title = title
        self._desk_name = desk_name
        self._day = day
        self._trouble = ""

    def show(self, title: str | None = None, day: date | None = None, trouble: str | None = None) -> None:
        """Show another title or day, or what is wrong with the line to the desk in the place of its name and day."""
        title = self._title if title is None else title
        day = self._day if day is None else day
        trouble = self._trouble if trouble is None else trouble
        if (title, day, trouble) != (self._title, self._day, self._trouble):
            self._title, self._day, self._trouble = title, day, trouble
            self.refresh()

    def build(self, width: int) -> list[Content]:
        """Return the line; where it is short the desk's name gives way, then the weekday, then the day."""
        air = ON_AIR_WORDS if self.on_air else OFF_AIR_WORDS if width >= WIDE else OFF_AIR_SHORT
        kept = width_of(self._title) + width_of(air) + 2
        day = day_words(self._day)
        if kept + width_of(day) + 2 * GAP > width:
            day = day_words(self._day, weekday=False)
        if kept + width_of(day) + 2 * GAP > width:
            day = ""
        if self._trouble:
            day = ""
        room = width - kept - width_of(day) - 3 * GAP
        name = cut(self._trouble or self._desk_name, room) if room >= SHORTEST_NAME else ""
        title = cut(self._title, max(1, width - width_of(air) - 2 - GAP))
        left, right = f"{title}{' ' * GAP}", f"{day}{' ' * GAP}"
        gap = " " * max(0, width - width_of(left) - width_of(name) - width_of(right) - width_of(air) - 2)
        badge = self.badge
        strong, quiet = (STRONG, QUIET) if self.on_air else (badge, badge)
        tone = strong if self._trouble else quiet
        return [
            Content.assemble(
                words(left, strong),
                words(name, tone),
                words(gap + right, quiet),
                words(f" {air} ", badge),
            )
        ]
