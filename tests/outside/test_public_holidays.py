"""Federal holidays of the United States as observed, against the statute."""

from __future__ import annotations

from datetime import date, time, timedelta

import numpy
import pytest

from breakdesk.rules.office import Office, is_business_day
from breakdesk.rules.public_holidays import known_country, known_subdivision, public_holidays

DAY = timedelta(days=1)
LISTED = {
    2025: "01-01 01-20 02-17 05-26 06-19 07-04 09-01 10-13 11-11 11-27 12-25",
    2026: "01-01 01-19 02-16 05-25 06-19 07-03 09-07 10-12 11-11 11-26 12-25",
    2027: "01-01 01-18 02-15 05-31 06-18 07-05 09-06 10-11 11-11 11-25 12-24 12-31",
}


def _weekdays(year: int) -> list[date]:
    return [day for day in public_holidays("US", None, [year]) if day.weekday() < 5]


def _listed(year: int) -> list[date]:
    return [date.fromisoformat(f"{year}-{day}") for day in LISTED[year].split()]


def _weekday_of_month(year: int, month: int, weekday: int, which: int) -> date:
    """Return the `which`-th such weekday of a month; -1 is the last."""
    days = [date(year, month, 1) + DAY * offset for offset in range(31)]
    fitting = [day for day in days if day.month == month and day.weekday() == weekday]
    return fitting[which - 1] if which > 0 else fitting[which]


def _observed(day: date) -> date:
    return day - DAY if day.weekday() == 5 else day + DAY if day.weekday() == 6 else day


def _by_statute(year: int) -> set[date]:
    fixed = [
        date(start, month, day)
        for start in (year, year + 1)
        for month, day in ((1, 1), (6, 19), (7, 4), (11, 11), (12, 25))
    ]
    mondays = ((1, 3), (2, 3), (5, -1), (9, 1), (10, 2))
    moving = [_weekday_of_month(year, month, 0, which) for month, which in mondays]
    thanksgiving = _weekday_of_month(year, 11, 3, 4)
    return {day for day in (*map(_observed, fixed), *moving, thanksgiving) if day.year == year}


@pytest.mark.outside(
    rule="all federal holidays of 2027 as observed, 31 December for 2028 among them",
    source="OPM's list for 2027 as quoted by others; the rule in 5 U.S.C. 6103(a),(b) and E.O. 11582 section 3(a)",
)
def test_published_year_2027() -> None:
    assert _weekdays(2027) == _listed(2027)


@pytest.mark.parametrize("year", [2025, 2026])
@pytest.mark.outside(
    rule="all federal holidays of 2025 and 2026 as observed on a Monday to Friday schedule",
    source="computed from 5 U.S.C. 6103(a),(b) and E.O. 11582 section 3(a), agreed by holidays",
)
def test_years_2025_and_2026(year: int) -> None:
    assert _weekdays(year) == _listed(year)


@pytest.mark.parametrize("year", range(2022, 2041))
@pytest.mark.outside(
    rule="a holiday on a Saturday is observed on the Friday before, one on a Sunday on the Monday after",
    source="5 U.S.C. 6103(a),(b) and E.O. 11582 section 3(a); the dates computed from them, agreed by holidays",
)
def test_statute_year_by_year(year: int) -> None:
    assert set(_weekdays(year)) == _by_statute(year)


@pytest.mark.parametrize(("year", "expected"), [(2025, 250), (2026, 250), (2027, 249)])
@pytest.mark.outside(
    rule="federal business days of a year",
    source="computed from 5 U.S.C. 6103 and E.O. 11582 section 3(a), agreed by numpy",
)
def test_federal_business_days_of_a_year(year: int, expected: int) -> None:
    closed_days = frozenset(public_holidays("US", None, [year]))
    office = Office("America/Chicago", time(9), time(17), closed_days)
    days = [date(year, 1, 1) + number * DAY for number in range((date(year + 1, 1, 1) - date(year, 1, 1)).days)]
    assert sum(is_business_day(office, day) for day in days) == expected
    assert numpy.busday_count(str(year), str(year + 1), holidays=sorted(closed_days)) == expected


@pytest.mark.outside(
    rule="the actual date of a holiday on a weekend is listed beside the day on which it is observed",
    source="computed from 5 U.S.C. 6103(b), agreed by holidays",
)
def test_actual_date_beside_the_observed_one() -> None:
    names = public_holidays("US", None, [2026])
    assert names[date(2026, 7, 4)] in names[date(2026, 7, 3)]
    assert list(names) == sorted(names)


@pytest.mark.outside(
    rule="countries and their parts are known by their codes in ISO 3166",
    source="ISO 3166-1 and 3166-2, codes from memory, agreed by holidays",
)
def test_codes_of_countries_and_parts() -> None:
    for code in ("US", "us", "CA", "GB", "DE", "JP"):
        assert known_country(code)
    for code in ("", "X", "XX", "USA", "Germany", "__"):
        assert not known_country(code)
        with pytest.raises(ValueError, match="are not known"):
            public_holidays(code, None, [2026])
    assert known_subdivision("US", "TX")
    assert known_subdivision("de", "by")
    assert date(2026, 1, 6) in public_holidays("DE", "BY", [2026])
    assert date(2026, 1, 6) not in public_holidays("DE", None, [2026])
    for part in ("", "ZZ", "US"):
        assert not known_subdivision("US", part)
    with pytest.raises(ValueError, match="'ZZ' in 'US' are not known"):
        public_holidays("US", "ZZ", [2026])
