"""Rows about one thing are taken together, so that their order changes nothing; where they disagree is an error."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any

from breakdesk.desk.loading.plan import Place, Plan


@dataclass(slots=True)
class Merged:
    """What several rows say about one thing: the first filled value of each column, and where it stands."""

    first: Any
    place: Place
    values: dict[str, Any] = field(default_factory=dict)
    places: dict[str, Place] = field(default_factory=dict)
    rows: int = 0


def merged(
    plan: Plan,
    sheets: Iterable[tuple[str, Sequence[Any]]],
    columns: Sequence[str],
    key_of: Callable[[Any, Place], object],
    thing: str,
    *,
    compared: bool = False,
) -> list[Merged]:
    """One item a thing, in the order of the files. Rows whose key is None are left out; `thing` is its word.

    `compared` says that the rows within each file were compared already, when they were read.
    """
    found: dict[object, Merged] = {}
    for file, rows in sheets:
        for row in rows:
            place = Place(file, row.line)
            key = key_of(row, place)
            if key is None:
                continue
            item = found.setdefault(key, Merged(row, place))
            item.rows += 1
            for column in columns:
                value = getattr(row, column)
                if value is None or value == "" or value == ():
                    continue
                if column not in item.values:
                    item.values[column], item.places[column] = value, place
                elif item.values[column] != value and not (compared and item.places[column].file == file):
                    _disagree(plan, item.places[column], column, value, place, thing)
    return list(found.values())


def _disagree(plan: Plan, first: Place, column: str, value: Any, place: Place, thing: str) -> None:
    where = f"line {first.line}" if first.file == place.file else f"{first.file}, line {first.line},"
    shown = value if isinstance(value, str) else None
    what = f"{where} says something else about this {thing}"
    plan.error(place, column, shown, what, "Keep one of the two.")
