"""The `--on` of a command: as of when it computes, or when what it records happened."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from breakdesk.desk.clock import Clock

FIRST_YEAR, LAST_YEAR = 1990, 2100
_HOW = "Write it like 2026-06-15, 2026-06-15T20:30 or 2026-06-15T20:30-06:00."


class WrittenInstant(click.ParamType):  # type: ignore[type-arg]
    """An instant as typed (ISO 8601): a day, a local time, or a time with its offset."""

    name = "instant"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date | datetime:
        """Reads the text; a text that is no instant is wrong usage."""
        if isinstance(value, date):
            return value
        written = _read(str(value).strip())
        if written is None:
            self.fail(f"{value!r} is not a day or a time. {_HOW}", param, ctx)
        if not FIRST_YEAR <= written.year <= LAST_YEAR:
            self.fail(f"{value!r} is outside the years {FIRST_YEAR} to {LAST_YEAR}.", param, ctx)
        return written


class WrittenDay(click.ParamType):  # type: ignore[type-arg]
    """A calendar day as typed (ISO 8601)."""

    name = "day"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> date:
        """Reads the text; a text that is no day is wrong usage."""
        if isinstance(value, date):
            return value
        try:
            day = date.fromisoformat(str(value).strip())
        except ValueError:
            self.fail(f"{value!r} is not a day. Write it like 2026-06-15.", param, ctx)
        if not FIRST_YEAR <= day.year <= LAST_YEAR:
            self.fail(f"{value!r} is outside the years {FIRST_YEAR} to {LAST_YEAR}.", param, ctx)
        return day


INSTANT, DAY = WrittenInstant(), WrittenDay()


def _read(text: str) -> date | datetime | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        pass
    try:
        return datetime.fromisoformat(text)
    except ValueError:
        return None


def clock_for(written: date | datetime | None) -> Clock:
    """The clock of a command; call with the desk open, since a bare time is a time of the house.

    A bare day is its first instant; a local time that occurs twice is the first of the two; one that does not occur
    is wrong usage.
    """
    from breakdesk.desk.clock import Clock

    if written is None:
        return Clock()
    if isinstance(written, datetime) and written.tzinfo is not None:
        return Clock(named=written.astimezone(UTC))
    from breakdesk.rules.zones import resolve_local, start_of_day
    from breakdesk.store.parties import read_house

    day = written.date() if isinstance(written, datetime) else written
    zone = read_house().zone_on(day)
    if not isinstance(written, datetime):
        return Clock(named=start_of_day(day, zone))
    try:
        return Clock(named=resolve_local(written, zone))
    except ValueError as error:
        raise click.BadParameter(str(error), param_hint="--on") from None
