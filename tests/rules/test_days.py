"""Calendar months, ages and bands, property by property."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.days import BANDS, add_months, age, band, completed_months

DAYS = st.dates(date(1900, 1, 1), date(2199, 12, 31))
MONTHS = st.integers(-600, 600)
RULE = settings(max_examples=200, deadline=None)


@RULE
@given(DAYS, MONTHS)
def test_months_keep_the_day_or_end_on_the_last_of_the_month(day: date, months: int) -> None:
    """Where the day does not exist in the target month, the period ends on that month's last day."""
    later = add_months(day, months)
    assert (later.year * 12 + later.month) - (day.year * 12 + day.month) == months
    if later.day != day.day:
        assert later.day < day.day
        assert (later + timedelta(days=1)).day == 1


@RULE
@given(DAYS, st.integers(0, 40_000))
def test_completed_months_is_the_largest_that_fits(start: date, days: int) -> None:
    """Completed months: the largest m with start day + m months <= today."""
    today = start + timedelta(days=days)
    months = completed_months(start, today)
    assert months >= 0
    assert add_months(start, months) <= today < add_months(start, months + 1)


@RULE
@given(DAYS, st.integers(0, 40_000))
def test_an_age_adds_up_to_its_day(start: date, days: int) -> None:
    """Age is a difference of dates, and completed months: both lead from the start to today."""
    today = start + timedelta(days=days)
    found = age(start, today)
    assert found.days == days
    assert add_months(start, found.months) + timedelta(days=found.extra_days) == today
    assert 0 <= found.extra_days <= 30


@RULE
@given(DAYS, st.integers(1, 1000))
def test_nothing_has_an_age_before_it_began(start: date, days: int) -> None:
    """An event before its start is refused, not given a negative age."""
    earlier = start - timedelta(days=days)
    with pytest.raises(ValueError, match="is before"):
        completed_months(start, earlier)
    with pytest.raises(ValueError, match="is before"):
        age(start, earlier)


def test_months_past_the_last_year_are_refused() -> None:
    with pytest.raises(ValueError, match="outside the years 1 to 9999"):
        add_months(date(9999, 6, 1), 7)
    with pytest.raises(ValueError, match="outside the years 1 to 9999"):
        add_months(date(1, 6, 1), -6)
    assert add_months(date(9999, 6, 1), 6) == date(9999, 12, 1)


@pytest.mark.parametrize(
    ("first", "last", "name"),
    [
        (0, 30, "0-30"),
        (31, 60, "31-60"),
        (61, 90, "61-90"),
        (91, 120, "91-120"),
        (121, 180, "121-180"),
        (181, 365, "181-365"),
        (366, 100_000, "over 365"),
    ],
)
def test_a_band_holds_both_its_ends(first: int, last: int, name: str) -> None:
    """Bands of age in days: 0-30, 31-60, 61-90, 91-120, 121-180, 181-365, over 365."""
    assert band(first) == band(last) == name


def test_bands_follow_one_another_without_a_gap() -> None:
    """Every day from 0 on is in exactly one band, and the bands come youngest first."""
    met = list(dict.fromkeys(band(days) for days in range(1000)))
    assert tuple(met) == BANDS
    with pytest.raises(ValueError, match="negative"):
        band(-1)
