"""How the columns of a list share a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

GAP = 2
"""Empty cells between two columns."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column of a list."""

    title: str
    width: int
    """The fewest cells that it needs."""
    stretch: int = 0
    """Its share of the room that is left over; 0 keeps its width."""
    right: bool = False
    """Numbers, amounts and ages stand to the right."""
    priority: int = 1
    """1 stays longest; where the line is too short the highest number drops out first."""
    quiet: bool = False
    """Whether it may be overlooked."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where one column stands on the line."""

    index: int
    width: int


def share_line(columns: Sequence[Column], width: int) -> list[Place]:
    """Return the columns that fit into `width` cells, in their order, with the cells that each gets.

    The column that stays longest is always there, if need be narrower than it asked for.
    """
    staying = sorted(range(len(columns)), key=lambda index: (columns[index].priority, index))
    while len(staying) > 1 and _needed(columns, staying) > width:
        staying.pop()
    if not staying:
        return []
    spare = width - _needed(columns, staying)
    if spare < 0:
        return [Place(staying[0], max(0, width))]
    shares = sum(columns[index].stretch for index in staying)
    places: list[Place] = []
    for index in sorted(staying):
        stretch = columns[index].stretch
        extra = spare * stretch // shares if shares else 0
        spare -= extra
        shares -= stretch
        places.append(Place(index, columns[index].width + extra))
    return places


def _needed(columns: Sequence[Column], indexes: Sequence[int]) -> int:
    return sum(columns[index].width for index in indexes) + GAP * (len(indexes) - 1)
