"""When an office is open, and counting in its business days."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from breakdesk.rules.office import (
    Office,
    add_business_days,
    check_hours,
    is_business_day,
    is_open,
    next_opening,
    parse_hour,
)
from breakdesk.rules.zones import end_of_day, in_zone, local_day, start_of_day

NINE_TO_FIVE = Office("America/Chicago", time(9), time(17), frozenset({date(2026, 7, 3)}))
INSTANT = timedelta(microseconds=1)
MINUTES_OF_A_DAY = 24 * 60
RULE = settings(max_examples=150, deadline=None)


def _at(minute: int) -> time | None:
    return time(*divmod(minute, 60)) if minute < MINUTES_OF_A_DAY else None


@st.composite
def offices(draw: st.DrawFn) -> Office:
    opens = draw(st.integers(0, MINUTES_OF_A_DAY - 1))
    closes = draw(st.integers(opens + 1, MINUTES_OF_A_DAY))
    zone_name = draw(st.sampled_from(["America/Chicago", "Africa/Cairo", "Asia/Amman", "Asia/Tokyo", "Pacific/Apia"]))
    closed_days = draw(st.frozensets(st.dates(date(2026, 1, 1), date(2026, 12, 31)), max_size=20))
    return Office(zone_name, time(*divmod(opens, 60)), _at(closes), closed_days)


INSTANTS = st.datetimes(
    datetime.fromisoformat("2026-01-01"), datetime.fromisoformat("2026-12-31"), timezones=st.just(UTC)
)
DAYS = st.dates(date(2025, 12, 1), date(2027, 1, 31))


@RULE
@given(offices(), INSTANTS)
def test_open_from_the_opening_minute_up_to_the_closing_one(office: Office, now: datetime) -> None:
    """The office is open Monday to Friday but for its closed days, from opening up to but not including closing."""
    local = in_zone(now, office.zone)
    hours = end_of_day(local.date(), office.zone) - start_of_day(local.date(), office.zone)
    if hours == timedelta(hours=24):
        works = local.weekday() < 5 and local.date() not in office.closed_days
        in_hours = office.opens <= local.time() and (office.closes is None or local.time() < office.closes)
        assert is_open(office, now) == (works and in_hours)


@RULE
@given(offices(), INSTANTS)
def test_the_next_opening_is_the_first_after_now(office: Office, now: datetime) -> None:
    """The next opening is the first instant after now at which the office opens; nothing is open before it."""
    opening = next_opening(office, now)
    assert opening > now
    assert is_open(office, opening)
    assert in_zone(opening, office.zone).time() == office.opens or not is_open(office, opening - INSTANT)
    if not is_open(office, now):
        step = (opening - now) / 200
        assert not any(is_open(office, now + step * part) for part in range(200))


@pytest.mark.parametrize(
    ("now", "opening"),
    [
        ("2026-07-02T13:59:59", "2026-07-02T14:00:00"),
        ("2026-07-02T14:00:00", "2026-07-06T14:00:00"),
        ("2026-07-02T22:00:00", "2026-07-06T14:00:00"),
        ("2026-11-01T06:30:00", "2026-11-02T15:00:00"),
    ],
)
def test_next_opening_over_a_closed_day_and_a_weekend(now: str, opening: str) -> None:
    found = next_opening(NINE_TO_FIVE, datetime.fromisoformat(now).replace(tzinfo=UTC))
    assert found == datetime.fromisoformat(opening).replace(tzinfo=UTC)


def test_the_opening_minute_is_open_and_the_closing_one_is_not() -> None:
    opening = datetime(2026, 7, 2, 14, tzinfo=UTC)
    closing = datetime(2026, 7, 2, 22, tzinfo=UTC)
    assert not is_open(NINE_TO_FIVE, opening - INSTANT)
    assert is_open(NINE_TO_FIVE, opening)
    assert is_open(NINE_TO_FIVE, closing - INSTANT)
    assert not is_open(NINE_TO_FIVE, closing)


def test_an_opening_that_the_clock_jumps_over_is_the_first_instant_after() -> None:
    """An opening in a gap is the first instant after it: in Cairo midnight of Friday 2026-04-24 became 01:00."""
    office = Office("Africa/Cairo", time(0, 30), time(12))
    opening = next_opening(office, datetime(2026, 4, 23, 20, tzinfo=UTC))
    assert in_zone(opening, office.zone).isoformat() == "2026-04-24T01:00:00+03:00"
    assert is_open(office, opening)
    assert not is_open(office, opening - INSTANT)


def test_an_opening_that_occurs_twice_is_the_first_of_the_two() -> None:
    """An opening in a fold is the first of the two: in Cairo 23:00 to 24:00 of Thursday 2026-10-29 came twice."""
    office = Office("Africa/Cairo", time(23, 30), None)
    opening = next_opening(office, datetime(2026, 10, 29, 12, tzinfo=UTC))
    assert opening == datetime(2026, 10, 29, 20, 30, tzinfo=UTC)
    closing = end_of_day(date(2026, 10, 29), office.zone)
    assert closing - opening == timedelta(hours=1, minutes=30)
    assert is_open(office, closing - INSTANT)


def test_hours_that_the_clock_jumps_over_as_a_whole_do_not_open() -> None:
    """Samoa had no Friday 2011-12-30: the office of that week next opened on the Monday."""
    office = Office("Pacific/Apia", time(9), time(17))
    opening = next_opening(office, datetime(2011, 12, 30, 4, tzinfo=UTC))
    assert local_day(opening, office.zone) == date(2012, 1, 2)


@RULE
@given(offices(), DAYS, st.integers(0, 120))
@example(NINE_TO_FIVE, date(2026, 7, 2), 1)
def test_business_days_added_are_business_days_counted(office: Office, day: date, count: int) -> None:
    """Counting forward, the day itself excluded, undoes counting the days between, both included."""
    later = add_business_days(office, day, count)
    days = [day + timedelta(days=offset) for offset in range(1, (later - day).days + 1)]
    assert sum(one.isoweekday() <= 5 and one not in office.closed_days for one in days) == count
    assert count == 0 or is_business_day(office, later)


def test_business_days_are_counted_forward_only() -> None:
    with pytest.raises(ValueError, match="counted forward"):
        add_business_days(NINE_TO_FIVE, date(2026, 7, 2), -1)


@RULE
@given(st.integers(0, MINUTES_OF_A_DAY))
def test_an_hour_is_read_as_written(minute: int) -> None:
    """HH:MM, 24:00 allowed as closing."""
    assert parse_hour(f"{minute // 60:02}:{minute % 60:02}") == _at(minute)


@pytest.mark.parametrize("text", ["", "9:00", "09.00", "24:01", "25:00", "12:60", "-1:00", "٠٩:٠٠", "09:00:00", "9am"])
def test_what_is_no_hour_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not an hour; write it as HH:MM"):
        parse_hour(text)


@RULE
@given(st.integers(0, MINUTES_OF_A_DAY), st.integers(0, MINUTES_OF_A_DAY))
def test_an_office_closes_after_it_opens(opens: int, closes: int) -> None:
    """A closing before or at the opening is refused, and so is an opening at 24:00."""
    if opens < closes:
        assert check_hours(_at(opens), _at(closes)) == (_at(opens), _at(closes))
    else:
        with pytest.raises(ValueError, match=r"cannot (open|close) at"):
            check_hours(_at(opens), _at(closes))


def test_an_office_with_impossible_hours_cannot_be_made() -> None:
    with pytest.raises(ValueError, match="opens at 17:00 cannot close at 09:00"):
        Office("America/Chicago", time(17), time(9))
