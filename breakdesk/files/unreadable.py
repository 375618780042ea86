"""How a cell's reader says that it cannot read a value."""

from __future__ import annotations


class Unreadable(ValueError):  # noqa: N818 - named for what is wrong with the cell
    """A cell that cannot be read: what is wrong (without the value) and what to do, for people."""

    def __init__(self, what: str, remedy: str) -> None:
        super().__init__(f"{what[:1].upper()}{what[1:]}. {remedy}")
        self.what = what
        self.remedy = remedy


class TwoReadings(Unreadable):
    """A day in figures that can be meant in two ways; for a whole file one can be chosen."""
