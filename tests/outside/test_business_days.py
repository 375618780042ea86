"""Business days against published examples and numpy."""

from __future__ import annotations

import random
from datetime import date, time, timedelta

import numpy
import pytest

from breakdesk.rules.office import Office, add_business_days, is_business_day
from breakdesk.rules.public_holidays import public_holidays

FEDERAL = frozenset(public_holidays("US", None, range(2025, 2030)))


def _office(*closed_days: str) -> Office:
    return Office("America/Chicago", time(9), time(17), frozenset(date.fromisoformat(day) for day in closed_days))


FEDERAL_OFFICE = Office("America/Chicago", time(9), time(17), FEDERAL)


def _day(text: str) -> date:
    return date.fromisoformat(text)


def _working_days(office: Office, first: date, last: date) -> int:
    days = (first + timedelta(days=offset) for offset in range((last - first).days + 1))
    return sum(is_business_day(office, day) for day in days)


def _run_forward(office: Office, day: date) -> date:
    return day if is_business_day(office, day) else add_business_days(office, day, 1)


@pytest.mark.parametrize(("closed_days", "expected"), [((), 108), (("2008-11-26",), 107)])
@pytest.mark.outside(
    rule="working days between two dates, both counted",
    source="NETWORKDAYS, office.microsoft.com HP010342719",
)
def test_working_days_between(closed_days: tuple[str, ...], expected: int) -> None:
    assert _working_days(_office(*closed_days), _day("2008-10-01"), _day("2009-03-01")) == expected


@pytest.mark.parametrize(
    ("closed_days", "expected"),
    [((), 110), (("2012-11-22",), 109), (("2012-11-22", "2012-12-04", "2013-01-21"), 107)],
)
@pytest.mark.outside(
    rule="working days between two dates, both counted, with holidays",
    source="Microsoft's NETWORKDAYS page, from memory, agreed by numpy",
)
def test_working_days_between_with_holidays(closed_days: tuple[str, ...], expected: int) -> None:
    assert _working_days(_office(*closed_days), _day("2012-10-01"), _day("2013-03-01")) == expected
    assert numpy.busday_count("2012-10-01", "2013-03-02", holidays=list(closed_days)) == expected


@pytest.mark.parametrize(
    ("closed_days", "expected"), [((), "2009-04-30"), (("2008-11-26", "2008-12-04", "2009-01-21"), "2009-05-05")]
)
@pytest.mark.outside(
    rule="the working day a number of working days later, the start not counted",
    source="Microsoft's WORKDAY page, from memory, agreed by numpy",
)
def test_working_day_later(closed_days: tuple[str, ...], expected: str) -> None:
    assert add_business_days(_office(*closed_days), _day("2008-10-01"), 151) == _day(expected)
    assert numpy.busday_offset("2008-10-01", 151, holidays=list(closed_days)) == numpy.datetime64(expected)


@pytest.mark.outside(
    rule="the first business day of a month, and the weekdays of a month and of a year",
    source="numpy documentation of busday_offset and busday_count, from memory, agreed by numpy",
)
def test_numpy_examples() -> None:
    weekdays = _office()
    assert _run_forward(weekdays, _day("2011-10-01")) == _day("2011-10-03")
    assert _working_days(weekdays, _day("2011-01-01"), _day("2011-01-31")) == 21
    assert _working_days(weekdays, _day("2011-01-01"), _day("2011-12-31")) == 260
    assert _working_days(weekdays, _day("2026-03-09"), _day("2026-03-15")) == 5


@pytest.mark.parametrize(
    ("day", "count", "expected"),
    [
        ("2026-07-02", 1, "2026-07-06"),
        ("2026-07-04", 1, "2026-07-06"),
        ("2027-12-23", 1, "2027-12-27"),
        ("2027-12-30", 1, "2028-01-03"),
        ("2026-05-22", 5, "2026-06-01"),
        ("2026-12-24", 7, "2027-01-06"),
        ("2026-05-31", 1, "2026-06-01"),
    ],
)
@pytest.mark.outside(
    rule="business days forward over the federal holidays as observed",
    source="computed from 5 U.S.C. 6103 and E.O. 11582 section 3(a), agreed by numpy",
)
def test_business_days_over_federal_holidays(day: str, count: int, expected: str) -> None:
    assert add_business_days(FEDERAL_OFFICE, _day(day), count) == _day(expected)
    found = numpy.busday_offset(day, count, roll="backward", holidays=sorted(FEDERAL))
    assert found == numpy.datetime64(expected)


@pytest.mark.parametrize(
    ("event", "days", "expected"),
    [
        ("2026-06-04", 30, "2026-07-06"),
        ("2026-06-03", 30, "2026-07-06"),
        ("2026-12-02", 30, "2027-01-04"),
        ("2026-01-20", 30, "2026-02-19"),
        ("2026-03-01", 7, "2026-03-09"),
    ],
)
@pytest.mark.outside(
    rule="a period that ends on a weekend or legal holiday runs to the next day that is neither",
    source="Fed. R. Civ. P. 6(a)(1), in force since 1 December 2009; the dates computed from it, agreed by numpy",
)
def test_court_days(event: str, days: int, expected: str) -> None:
    last = _day(event) + timedelta(days=days)
    assert _run_forward(FEDERAL_OFFICE, last) == _day(expected)
    assert numpy.busday_offset(last, 0, roll="forward", holidays=sorted(FEDERAL)) == numpy.datetime64(expected)


@pytest.mark.outside(
    rule="whether the observed day of a holiday counts is a choice: without it 3 July 2026 is a business day",
    source="computed from Fed. R. Civ. P. 6(a)(1), agreed by numpy",
)
def test_court_days_without_observed_days() -> None:
    last = _day("2026-06-03") + timedelta(days=30)
    assert _run_forward(_office("2026-07-04"), last) == _day("2026-07-03")
    assert numpy.is_busday("2026-07-03", holidays=["2026-07-04"])


@pytest.mark.parametrize(
    ("vested", "expected"),
    [("2026-02-06", "2026-02-18"), ("2026-07-01", "2026-07-13"), ("2026-12-22", "2027-01-04")],
)
@pytest.mark.outside(
    rule="seven working days after the day of vesting, that day not counted",
    source="computed from 16 CFR 435.1(b)(1) on the federal calendar, agreed by numpy",
)
def test_seven_working_days(vested: str, expected: str) -> None:
    assert add_business_days(FEDERAL_OFFICE, _day(vested), 7) == _day(expected)
    assert numpy.busday_offset(vested, 7, holidays=sorted(FEDERAL)) == numpy.datetime64(expected)


@pytest.mark.outside(
    rule="business days between and after dates, 2,000 random dates with random holidays",
    source="computed from Monday to Friday less the holidays, agreed by numpy",
)
def test_business_days_at_random() -> None:
    chance = random.Random(20260105)
    for _ in range(2_000):
        first = date.fromordinal(chance.randint(date(2000, 1, 1).toordinal(), date(2040, 12, 31).toordinal()))
        holidays = [first + timedelta(days=chance.randint(-20, 200)) for _ in range(chance.randint(0, 15))]
        office = Office("UTC", time(9), time(17), frozenset(holidays))
        last = first + timedelta(days=chance.randint(0, 150))
        count = chance.randint(1, 60)
        expected = numpy.busday_count(first, last + timedelta(days=1), holidays=holidays)
        assert _working_days(office, first, last) == expected
        moved = numpy.busday_offset(first, count, roll="backward", holidays=holidays)
        assert numpy.datetime64(add_business_days(office, first, count)) == moved
