"""Moves every date of some rows by whole days; times keep their hour in the house's zone."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import fields, replace
from datetime import date, timedelta
from typing import Any

from breakdesk.files.dates import Moment
from breakdesk.files.row_kinds import Row
from breakdesk.rules.zones import first_instant_at, in_zone


def shifted(rows: Sequence[Row], days: int, zone_name: str) -> list[Row]:
    """The rows with every day and instant moved; what a row's cells said stays as it was written."""
    if not days or not rows:
        return list(rows)
    span = timedelta(days=days)

    def moved(value: Any) -> Any:
        if isinstance(value, Moment):
            if value.instant is None:
                return Moment(value.day + span, None)
            local = in_zone(value.instant, zone_name).replace(tzinfo=None) + span
            return Moment(value.day + span, first_instant_at(local, zone_name))
        if isinstance(value, date):
            return value + span
        return tuple(map(moved, value))

    names = _dated_names(rows[0])
    return [_moved(row, names, moved) for row in rows]


def _dated_names(row: Row) -> list[str]:
    return [field.name for field in fields(row) if "date" in str(field.type) or "Moment" in str(field.type)]


def _moved(row: Row, names: Sequence[str], moved: Callable[[Any], Any]) -> Row:
    values = ((name, getattr(row, name)) for name in names)
    return replace(row, **{name: moved(value) for name, value in values if value is not None})
