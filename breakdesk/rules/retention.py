"""Which backups are kept: one an hour for a day, one a day for a month, one a month for a year."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

HOURLY_FOR = timedelta(days=1)
DAILY_FOR = timedelta(days=31)
MONTHLY_FOR = timedelta(days=366)


def kept(made: Iterable[datetime], now: datetime) -> frozenset[datetime]:
    """The instants whose backups are kept as of `now`: in each hour, day or month, counted in UTC, the newest.

    The newest of all is always kept, however old, and so is one that claims to be from later than now.
    """
    newest_first = sorted(made, reverse=True)
    seen: set[tuple[str, str]] = set()
    found = set(newest_first[:1])
    for instant in newest_first:
        for period in _periods(instant, now):
            if period not in seen:
                seen.add(period)
                found.add(instant)
    return frozenset(found)


def _periods(instant: datetime, now: datetime) -> Iterable[tuple[str, str]]:
    """The periods of which a backup may be the one that is kept."""
    age = now - instant
    if age < timedelta(0):
        yield "later", instant.isoformat()
    if age <= HOURLY_FOR:
        yield "hour", f"{instant:%Y-%m-%d %H}"
    if age <= DAILY_FOR:
        yield "day", f"{instant:%Y-%m-%d}"
    if age <= MONTHLY_FOR:
        yield "month", f"{instant:%Y-%m}"
