"""The line at the top of every screen: where one is, whose desk it is, which day it is, and the air."""

from __future__ import annotations

from datetime import date

from textual.content import Content

from breakdesk.tui.widgets.cells import cut
from breakdesk.tui.widgets.lines import BADGE, QUIET, Lines, width_of, words

ON_AIR_WORDS = "ON AIR"
OFF_AIR_WORDS = "OFF AIR: codes, addresses and names can be seen"
OFF_AIR_SHORT = "OFF AIR: not hidden"

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

    def show(self, title: str | None = None, day: date | None = None) -> None:
        """Show another title or day."""
        self._title = self._title if title is None else title
        self._day = self._day if day is None else day
        self.refresh()

    def build(self, width: int) -> list[Content]:
        """Return the line; the desk's name and the weekday give way where it is short."""
        air = ON_AIR_WORDS if self.on_air else OFF_AIR_WORDS
        if not self.on_air and width < 100:
            air = OFF_AIR_SHORT
        day = day_words(self._day)
        title = self._title
        name = self._desk_name
        if width_of(title) + width_of(name) + width_of(day) + width_of(air) + 12 > width:
            day = day_words(self._day, weekday=False)
        room = width - width_of(title) - width_of(day) - width_of(air) - 9
        name = cut(name, room) if room >= 8 else ""
        styles = ("bold", QUIET, QUIET, BADGE) if self.on_air else (BADGE,) * 4
        left = Content.assemble(
            words(cut(title, max(1, width - width_of(day) - width_of(air) - 6)), styles[0]),
            words(f"   {name}" if name else "", styles[1]),
        )
        right = Content.assemble(words(f"{day}  ", styles[2]), words(f" {air} ", styles[3]))
        gap = words(" " * max(1, width - left.cell_length - right.cell_length), "" if self.on_air else BADGE)
        return [Content.assemble(left, gap, right)]
