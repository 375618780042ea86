"""Calendar months and ages against published texts and python-dateutil."""

from __future__ import annotations

import random
from datetime import UTC, date, datetime, time, timedelta

import pytest
from dateutil.relativedelta import relativedelta
from dateutil.rrule import MONTHLY, rrule

from breakdesk.rules.days import add_months, age, completed_months
from breakdesk.rules.office import Office, add_business_days, is_business_day
from breakdesk.rules.zones import local_day

FIRST_ORDINAL, LAST_ORDINAL = date(1900, 1, 1).toordinal(), date(2199, 12, 31).toordinal()
EVERY_DAY_2024_TO_2028 = [date(2024, 1, 1) + timedelta(days=offset) for offset in range(1827)]
WEEKENDS_ONLY = Office("Europe/Brussels", time(9), time(17))


def _day(text: str) -> date:
    return date.fromisoformat(text)


def _random_days(seed: int, count: int) -> list[date]:
    chance = random.Random(seed)
    return [date.fromordinal(chance.randint(FIRST_ORDINAL, LAST_ORDINAL)) for _ in range(count)]


@pytest.mark.outside(
    rule="a month later is the same date, or the last day of a month without it",
    source="python-dateutil documentation, docs/examples.rst (commit 014f84e7)",
)
def test_dateutil_examples() -> None:
    assert add_months(_day("2003-01-27"), 1) == _day("2003-02-27")
    assert add_months(_day("2003-01-31"), 1) == _day("2003-02-28")
    assert add_months(_day("2003-01-31"), 2) == _day("2003-03-31")
    assert add_months(_day("2000-02-28"), 12) == _day("2001-02-28")
    assert add_months(_day("2000-02-29"), 12) == _day("2001-02-28")
    assert add_months(_day("1999-02-28"), 12) == _day("2000-02-28")
    assert add_months(_day("1999-03-01"), 12) == _day("2000-03-01")
    assert add_months(_day("2001-02-28"), -12) == _day("2000-02-28")
    assert add_months(_day("2001-03-01"), -12) == _day("2000-03-01")


@pytest.mark.outside(
    rule="the order of adding days and months matters: days after months are counted from the clipped date",
    source="W3C XML Schema Part 2, Appendix E.2",
)
def test_xml_schema_order_of_adding() -> None:
    assert add_months(_day("2000-03-30") + timedelta(days=1), 1) == _day("2000-04-30")
    assert add_months(_day("2000-03-30"), 1) + timedelta(days=1) == _day("2000-05-01")


@pytest.mark.outside(
    rule="a duration added to a date adds its years and months first", source="W3C XML Schema Part 2, Appendix E.1"
)
def test_xml_schema_durations() -> None:
    months_added = datetime.combine(add_months(_day("2000-01-12"), 15), time(12, 13, 14), UTC)
    ended = months_added + timedelta(days=5, hours=7, minutes=10, seconds=3.3)
    assert ended.isoformat() == "2001-04-17T19:23:17.300000+00:00"
    assert add_months(_day("2000-01-01"), -3) == _day("1999-10-01")
    assert local_day(datetime(2000, 1, 12, tzinfo=UTC) + timedelta(hours=33), "UTC") == _day("2000-01-13")


@pytest.mark.outside(
    rule="a time limit of one month ends on the corresponding date, or on the last day of a shorter month",
    source="ICO guidance on subject access requests (ico.org.uk; quoted at lexology.com and schoolspeople.co.uk)",
)
def test_data_protection_office_examples() -> None:
    assert add_months(_day("2026-01-30"), 1) == _day("2026-02-28")
    assert add_months(_day("2028-01-30"), 1) == _day("2028-02-29")
    assert add_months(_day("2026-01-31"), 1) == _day("2026-02-28")
    assert add_months(_day("2026-09-03"), 1) == _day("2026-10-03")
    assert add_months(_day("2026-08-01"), 1) == _day("2026-09-01")


@pytest.mark.outside(
    rule="a period in months ends on the same date, or on the last day of a month without it",
    source="Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c), OJ L 124, 8.6.1971, p. 1",
)
def test_regulation_wording_for_every_day_of_five_years() -> None:
    """The same date of the last month where it occurs there, else the day before the next month's first."""
    for day in EVERY_DAY_2024_TO_2028:
        for months in range(13):
            end = add_months(day, months)
            month_number = day.year * 12 + day.month - 1 + months
            first_of_next = date((month_number + 1) // 12, (month_number + 1) % 12 + 1, 1)
            last = first_of_next - timedelta(days=1)
            assert end == (last.replace(day=day.day) if day.day <= last.day else last)


@pytest.mark.parametrize(
    ("start", "months", "last_day", "working_day"),
    [
        ("2026-01-31", 1, "2026-02-28", "2026-03-02"),
        ("2026-08-31", 6, "2027-02-28", "2027-03-01"),
        ("2023-12-31", 2, "2024-02-29", "2024-02-29"),
        ("2024-02-29", 12, "2025-02-28", "2025-02-28"),
    ],
)
@pytest.mark.outside(
    rule="a period in months that ends on a weekend ends with the next working day",
    source="computed from Regulation (EEC, Euratom) No 1182/71, Articles 3(2)(c) and 3(4), agreed by python-dateutil",
)
def test_regulation_with_weekends(start: str, months: int, last_day: str, working_day: str) -> None:
    end = add_months(_day(start), months)
    assert end == _day(last_day) == _day(start) + relativedelta(months=months)
    moved = end if is_business_day(WEEKENDS_ONLY, end) else add_business_days(WEEKENDS_ONLY, end, 1)
    assert moved == _day(working_day)


@pytest.mark.outside(
    rule="months are counted from the start date, never month by month",
    source="computed from Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c), agreed by python-dateutil",
)
def test_months_from_the_anchor() -> None:
    anchor = _day("2026-01-31")
    assert add_months(add_months(anchor, 1), 1) == _day("2026-03-28")
    assert add_months(anchor, 2) == anchor + relativedelta(months=2) == _day("2026-03-31")


@pytest.mark.parametrize(
    ("start", "ends"),
    [
        ("2026-01-29", ("2026-02-28", "2026-04-29", "2026-07-29", "2027-01-29")),
        ("2026-08-31", ("2026-09-30", "2026-11-30", "2027-02-28", "2027-08-31")),
        ("2026-10-31", ("2026-11-30", "2027-01-31", "2027-04-30", "2027-10-31")),
        ("2026-11-30", ("2026-12-30", "2027-02-28", "2027-05-30", "2027-11-30")),
    ],
)
@pytest.mark.outside(
    rule="1, 3, 6 and 12 months from the last days of a month",
    source="computed from Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c), agreed by python-dateutil",
)
def test_one_three_six_and_twelve_months(start: str, ends: tuple[str, ...]) -> None:
    found = [add_months(_day(start), months) for months in (1, 3, 6, 12)]
    assert found == [_day(end) for end in ends]
    assert found == [_day(start) + relativedelta(months=months) for months in (1, 3, 6, 12)]


@pytest.mark.outside(
    rule="a yearly date on 29 February is 28 February in common years and 29 February again in leap years",
    source="computed from Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c), agreed by python-dateutil",
)
def test_leap_day_anchor() -> None:
    anchor = _day("2024-02-29")
    found = [add_months(anchor, 12 * years) for years in (1, 2, 3, 4)]
    assert found == [_day(text) for text in ("2025-02-28", "2026-02-28", "2027-02-28", "2028-02-29")]
    assert found == [anchor + relativedelta(years=years) for years in (1, 2, 3, 4)]


@pytest.mark.outside(
    rule="a monthly recurrence skips a day that does not exist, where a period in months is clipped",
    source="RFC 5545, section 3.8.5.3 (FREQ=MONTHLY;BYMONTHDAY=15,30)",
)
def test_recurrence_skips_what_a_period_clips() -> None:
    published = [_day(text) for text in ("2007-01-15", "2007-01-30", "2007-02-15", "2007-03-15", "2007-03-30")]
    clipped = sorted(add_months(date(2007, 1, day), months) for day in (15, 30) for months in range(3))
    assert [day for day in clipped if day not in published] == [_day("2007-02-28")]
    assert [day for day in clipped if day.day in (15, 30)] == published


@pytest.mark.outside(
    rule="the last day of each month is the clipped date counted from a 31st",
    source="RFC 2445, recurrence rule examples (FREQ=MONTHLY;COUNT=10;BYMONTHDAY=1,-1), the same in RFC 5545",
)
def test_first_and_last_days_of_months() -> None:
    published = (
        "1997-09-30 1997-10-01 1997-10-31 1997-11-01 1997-11-30 1997-12-01 1997-12-31 1998-01-01 1998-01-31 1998-02-01"
    )
    lasts = [add_months(_day("1997-08-31"), months) for months in range(1, 6)]
    firsts = [add_months(_day("1997-09-01"), months) for months in range(1, 6)]
    assert sorted(lasts + firsts) == [_day(text) for text in published.split()]


@pytest.mark.outside(
    rule="a schedule of clipped months is not a plain monthly recurrence",
    source="computed from RFC 5545, section 3.3.10 (a day that does not exist is ignored), agreed by python-dateutil",
)
def test_clipped_schedule_is_no_recurrence() -> None:
    anchor = _day("2026-01-31")
    recurring = [moment.date() for moment in rrule(MONTHLY, dtstart=datetime.combine(anchor, time.min), count=5)]
    assert recurring == [date(2026, month, 31) for month in (1, 3, 5, 7, 8)]
    clipped = [add_months(anchor, months) for months in range(8)]
    assert [day for day in clipped if day.day == 31] == recurring
    assert clipped[1] == _day("2026-02-28")


@pytest.mark.outside(
    rule="adding calendar months, 100,000 random dates and -600 to 600 months",
    source="computed from Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c), agreed by python-dateutil",
)
def test_adding_months_at_random() -> None:
    chance = random.Random(20260102)
    spans = {months: relativedelta(months=months) for months in range(-600, 601)}
    for day in _random_days(20260101, 100_000):
        months = chance.randint(-600, 600)
        assert add_months(day, months) == day + spans[months]


@pytest.mark.outside(
    rule="completed months and the days left over, 100,000 random pairs of dates",
    source="computed from Regulation (EEC, Euratom) No 1182/71, Article 3(2)(c), agreed by python-dateutil",
)
def test_completed_months_at_random() -> None:
    chance = random.Random(20260104)
    for start in _random_days(20260103, 100_000):
        today = start + timedelta(days=chance.randint(0, 1500))
        months = completed_months(start, today)
        difference = relativedelta(today, start)
        assert months == difference.years * 12 + difference.months
        assert (today - add_months(start, months)).days == difference.days


@pytest.mark.parametrize(
    ("start", "today", "months", "extra_days"),
    [
        ("2026-03-15", "2026-11-14", 7, 30),
        ("2022-04-02", "2023-04-01", 11, 30),
        ("2019-08-30", "2020-02-29", 6, 0),
    ],
)
@pytest.mark.outside(
    rule="a month is completed only on its day: differences that a library is known to overshoot",
    source="python-pendulum/pendulum issues #402, #606 and #790, agreed by python-dateutil",
)
def test_differences_that_are_easy_to_get_wrong(start: str, today: str, months: int, extra_days: int) -> None:
    found = age(_day(start), _day(today))
    assert (found.months, found.extra_days) == (months, extra_days)
    assert found.days == (_day(today) - _day(start)).days
    assert _day(start) + relativedelta(months=months, days=extra_days) == _day(today)
