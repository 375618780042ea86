"""A maker's office: the days it works, the hours it is open, and counting in its business days.

The office is open Monday to Friday but for its closed days, from the opening minute on, up to but not including the
closing minute. An opening that the clock jumps over is the first instant after the jump; one that occurs twice is the
first of the two.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from functools import lru_cache

from breakdesk.rules.zones import end_of_day, first_instant_at, local_day

_DAY = timedelta(days=1)
_SATURDAY = 5
_HOUR_AND_MINUTE = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])")


@dataclass(frozen=True, slots=True)
class Office:
    """When a maker's office works.

    `opens` and `closes` are local times in `zone`; `closes` None is midnight at the end of the day (24:00).
    `closed_days` holds the public holidays as observed and the days noted by hand. Raises ValueError where it
    would close before or as it opens.
    """

    zone: str
    opens: time
    closes: time | None
    closed_days: frozenset[date] = frozenset()

    def __post_init__(self) -> None:
        check_hours(self.opens, self.closes)


def parse_hour(text: str) -> time | None:
    """Read an hour written HH:MM; 24:00, the end of the day, is None. Raises ValueError for anything else."""
    written = text.strip()
    if written == "24:00":
        return None
    found = _HOUR_AND_MINUTE.fullmatch(written)
    if found is None:
        raise ValueError(f"{text!r} is not an hour; write it as HH:MM, like 09:00 or 24:00.")
    return time(int(found[1]), int(found[2]))


def check_hours(opens: time | None, closes: time | None) -> tuple[time, time | None]:
    """Return the two hours where an office can keep them; None is 24:00.

    Raises ValueError for an opening at 24:00 and for a closing before or at the opening.
    """
    if opens is None:
        raise ValueError("An office cannot open at 24:00; 24:00 can only be its closing hour.")
    if closes is not None and closes <= opens:
        raise ValueError(f"An office that opens at {opens:%H:%M} cannot close at {closes:%H:%M} on the same day.")
    return opens, closes


def is_business_day(office: Office, day: date) -> bool:
    """Tell whether the office works on `day`, a day in its zone."""
    return day.weekday() < _SATURDAY and day not in office.closed_days


def is_open(office: Office, now: datetime) -> bool:
    """Tell whether the office is open at the instant `now`."""
    day = local_day(now, office.zone)
    return is_business_day(office, day) and _opening(office, day) <= now < _closing(office, day)


def next_opening(office: Office, now: datetime) -> datetime:
    """Return the UTC instant of the first opening after `now`; while the office is open, that of a later day."""
    day = local_day(now, office.zone)
    while True:
        if is_business_day(office, day):
            opening = _opening(office, day)
            # Where the clock jumps over all the hours of a day the office does not open on it.
            if now < opening < _closing(office, day):
                return opening
        day += _DAY


@lru_cache(maxsize=4096)
def add_business_days(office: Office, day: date, count: int) -> date:
    """Return the business day that is the `count`-th after `day`; `day` itself is not counted.

    0 gives `day`, whether the office works on it or not. Raises ValueError for a negative count.
    """
    if count < 0:
        raise ValueError(f"Business days are counted forward, not {count}.")
    while count:
        day += _DAY
        count -= is_business_day(office, day)
    return day


def _opening(office: Office, day: date) -> datetime:
    return first_instant_at(datetime.combine(day, office.opens), office.zone)


def _closing(office: Office, day: date) -> datetime:
    if office.closes is None:
        return end_of_day(day, office.zone)
    return first_instant_at(datetime.combine(day, office.closes), office.zone)
