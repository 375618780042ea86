"""Calendar months, ages and the bands of age, all on plain dates.

Months are calendar months. Where the day does not exist in the month a period ends in, the period ends on that
month's last day: Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c). A period is always counted from its start
date, never month by month, so that 31 January and two months is 31 March.
"""

from __future__ import annotations

from bisect import bisect_left
from calendar import monthrange
from dataclasses import dataclass
from datetime import date
from functools import lru_cache

CACHED = 16384
"""How many days are remembered: a list asks of tens of thousands of claims about the same few hundred."""

_LAST_DAYS_OF_BANDS = (30, 60, 90, 120, 180, 365)

BANDS: tuple[str, ...] = ("0-30", "31-60", "61-90", "91-120", "121-180", "181-365", "over 365")
"""The bands of age in days, youngest first."""


@dataclass(frozen=True, slots=True)
class Age:
    """How long something has lasted: `days` in all, which is also `months` completed months and `extra_days`."""

    days: int
    months: int
    extra_days: int


@lru_cache(maxsize=CACHED)
def add_months(day: date, months: int) -> date:
    """Return the date `months` calendar months after `day`, clipped to the end of its month.

    `months` may be negative. Raises ValueError where the result would lie outside the years 1 to 9999.
    Source: Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c).
    """
    year, month_index = divmod(day.year * 12 + day.month - 1 + months, 12)
    month = month_index + 1
    if not 1 <= year <= 9999:
        raise ValueError(f"{months} months from {day.isoformat()} lies outside the years 1 to 9999.")
    return date(year, month, min(day.day, monthrange(year, month)[1]))


def completed_months(start: date, end: date) -> int:
    """Return the largest number of months m with `add_months(start, m)` on or before `end`.

    Raises ValueError where `end` is before `start`: nothing has an age before it began.
    """
    if end < start:
        raise ValueError(f"{end.isoformat()} is before {start.isoformat()}.")
    months = (end.year - start.year) * 12 + end.month - start.month
    # The anniversary in the last month may lie past its end only because it is still to come in that month.
    clipped_day = min(start.day, monthrange(end.year, end.month)[1])
    return months if clipped_day <= end.day else months - 1


@lru_cache(maxsize=CACHED)
def age(start: date, today: date) -> Age:
    """Return the age on `today` of what began on `start`: 0 days on the day itself.

    Both are days of the same zone. Raises ValueError where `today` is before `start`.
    """
    months = completed_months(start, today)
    return Age(days=(today - start).days, months=months, extra_days=(today - add_months(start, months)).days)


def band(days: int) -> str:
    """Return the band an age of `days` days belongs to; raises ValueError for a negative age."""
    if days < 0:
        raise ValueError(f"An age cannot be negative: {days} days.")
    return BANDS[bisect_left(_LAST_DAYS_OF_BANDS, days)]
