"""Days and local times in named zones, and the UTC instants they stand for.

A day begins at the earliest instant that has its local date, and ends where the next day begins. A local time that
occurs twice is the first of the two (RFC 5545, 3.3.5); one that does not occur is refused.
"""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from functools import lru_cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from breakdesk.rules.wording import day_in_words

_SECOND = timedelta(seconds=1)
_MINUTE = timedelta(minutes=1)
_DAY = timedelta(days=1)


class UnknownZone(ValueError):  # noqa: N818 - named for what a person reads, not for Python's habit
    """No time zone has this name."""

    def __init__(self, name: str) -> None:
        self.name = name
        alike = _zones_alike(name)
        remedy = f"did you mean {' or '.join(alike)}?" if alike else "write it like America/Chicago."
        super().__init__(f"There is no time zone called {name!r}; {remedy}")


class TimeDoesNotExist(ValueError):  # noqa: N818 - as above
    """A local time that the clock of its zone jumped over.

    `before` is the last whole minute before the jump and `after` the first time after it, both aware, in the zone.
    """

    def __init__(self, naive: datetime, before: datetime, after: datetime, zone_name: str) -> None:
        self.naive = naive
        self.before = before
        self.after = after
        self.zone_name = zone_name
        super().__init__(
            f"{_written(naive)} does not exist in {zone_name}, because the clock jumps over it; "
            f"the times beside it are {_written(before)} and {_written(after)}."
        )


@lru_cache(maxsize=256)
def _zones_alike(name: str) -> tuple[str, ...]:
    folded = name.strip().casefold().replace(" ", "_")
    if not folded:
        return ()
    known = ((each, each.casefold()) for each in available_timezones())
    return tuple(sorted(each for each, low in known if low == folded or low.endswith(f"/{folded}"))[:3])


def _written(moment: datetime) -> str:
    return f"{moment:%H:%M} on {day_in_words(moment.date())}"


@lru_cache(maxsize=1024)
def zone(name: str) -> ZoneInfo:
    """Return the zone of the IANA time zone database called `name`; raises UnknownZone where there is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise UnknownZone(name) from None


def in_zone(instant: datetime, zone_name: str) -> datetime:
    """Return the aware `instant` as the clock of the zone shows it."""
    return _aware(instant).astimezone(zone(zone_name))


def local_day(instant: datetime, zone_name: str) -> date:
    """Return the calendar day of the aware `instant` in the zone."""
    return in_zone(instant, zone_name).date()


@lru_cache(maxsize=16384)
def start_of_day(day: date, zone_name: str) -> datetime:
    """Return the UTC instant at which `day` begins in the zone: the earliest with that local date.

    Where the clock jumps over midnight it is the instant of the jump; a day jumped over as a whole begins and ends
    at that same instant.
    """
    return first_instant_at(datetime.combine(day, time.min), zone_name)


def end_of_day(day: date, zone_name: str) -> datetime:
    """Return the first UTC instant after `day` in the zone: where the next day begins.

    The last day that a date can write, 9999-12-31, ends at the last instant that a datetime can write.
    """
    if day == date.max:
        return datetime.max.replace(tzinfo=UTC)
    return start_of_day(day + _DAY, zone_name)


def last_day_before(end: datetime, zone: str) -> date | None:
    """The day with which a limit ends, as nobody reads "by Tue 00:00" as Monday; None where it falls within a day."""
    last = in_zone(end - timedelta(microseconds=1), zone)
    return last.date() if (last.hour, last.minute) == (23, 59) else None


def resolve_local(naive: datetime, zone_name: str) -> datetime:
    """Return the UTC instant of the local time `naive` in the zone; of a time that occurs twice, the first.

    Raises TimeDoesNotExist for a time that the clock jumps over.
    """
    instant = _first_guess(naive, zone_name)
    if instant is not None:
        return instant
    after = _end_of_jump(naive, zone_name)
    raise TimeDoesNotExist(naive, in_zone(after - _MINUTE, zone_name), in_zone(after, zone_name), zone_name)


def first_instant_at(naive: datetime, zone_name: str) -> datetime:
    """Return the first UTC instant at which the clock of the zone shows `naive` or has jumped past it."""
    return _first_guess(naive, zone_name) or _end_of_jump(naive, zone_name)


def _first_guess(naive: datetime, zone_name: str) -> datetime | None:
    """Return the first instant that shows `naive`, or None where none does."""
    local = naive.replace(tzinfo=zone(zone_name), fold=0)
    instant = local.astimezone(UTC)
    return instant if instant.astimezone(local.tzinfo).replace(tzinfo=None) == naive else None


def _end_of_jump(naive: datetime, zone_name: str) -> datetime:
    """Return the instant of the forward jump that passes over `naive`."""
    local = naive.replace(tzinfo=zone(zone_name), microsecond=0)
    # PEP 495: in a gap fold 1 reads the offset after the jump and so lies before it, fold 0 lies at it or later.
    before = local.replace(fold=1).astimezone(UTC) - _SECOND
    after = local.replace(fold=0).astimezone(UTC)
    while after - before > _SECOND:
        middle = before + (after - before) // _SECOND // 2 * _SECOND
        if middle.astimezone(local.tzinfo).replace(tzinfo=None) < naive:
            before = middle
        else:
            after = middle
    return after


def _aware(instant: datetime) -> datetime:
    if instant.tzinfo is None:
        raise ValueError("An instant must carry its zone.")
    return instant
