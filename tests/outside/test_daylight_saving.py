"""Days and local times across clock changes, against the statute and RFC 5545."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from breakdesk.rules.days import age
from breakdesk.rules.zones import TimeDoesNotExist, end_of_day, in_zone, local_day, resolve_local, start_of_day

CHICAGO = "America/Chicago"
NEW_YORK = "America/New_York"
SECOND = timedelta(seconds=1)


def _sunday(year: int, month: int, which: int) -> date:
    first = date(year, month, 1)
    return first + timedelta(days=(6 - first.weekday()) % 7 + 7 * (which - 1))


def _instant(text: str) -> datetime:
    return datetime.fromisoformat(text).astimezone(UTC)


@pytest.mark.parametrize(
    ("instant", "epoch", "before", "after"),
    [
        ("2026-03-08T08:00:00Z", 1772956800, "2026-03-08T01:59:59-06:00", "2026-03-08T03:00:00-05:00"),
        ("2026-11-01T07:00:00Z", 1793516400, "2026-11-01T01:59:59-05:00", "2026-11-01T01:00:00-06:00"),
        ("2027-03-14T08:00:00Z", 1805011200, "2027-03-14T01:59:59-06:00", "2027-03-14T03:00:00-05:00"),
        ("2027-11-07T07:00:00Z", 1825570800, "2027-11-07T01:59:59-05:00", "2027-11-07T01:00:00-06:00"),
    ],
)
@pytest.mark.outside(
    rule="the instants at which the clock of Chicago changes in 2026 and 2027",
    source="computed from 15 U.S.C. 260a(a), agreed by zoneinfo and tzdata",
)
def test_transitions(instant: str, epoch: int, before: str, after: str) -> None:
    moment = _instant(instant)
    assert moment.timestamp() == epoch
    assert in_zone(moment - SECOND, CHICAGO).isoformat() == before
    assert in_zone(moment, CHICAGO).isoformat() == after


@pytest.mark.parametrize("year", range(2007, 2038))
@pytest.mark.outside(
    rule="clocks change at 2 o'clock on the second Sunday of March and the first Sunday of November",
    source="15 U.S.C. 260a(a), USCODE-2011-title15 at govinfo.gov",
)
def test_statute_year_by_year(year: int) -> None:
    spring, autumn = _sunday(year, 3, 2), _sunday(year, 11, 1)
    with pytest.raises(TimeDoesNotExist) as refusal:
        resolve_local(datetime.fromisoformat(f"{spring}T02:00"), CHICAGO)
    assert refusal.value.after.astimezone(UTC) == _instant(f"{spring}T08:00:00Z")
    assert resolve_local(datetime.fromisoformat(f"{autumn}T01:59:59"), CHICAGO) == _instant(f"{autumn}T06:59:59Z")
    assert resolve_local(datetime.fromisoformat(f"{autumn}T02:00"), CHICAGO) == _instant(f"{autumn}T08:00:00Z")
    assert end_of_day(spring, CHICAGO) - start_of_day(spring, CHICAGO) == timedelta(hours=23)
    assert end_of_day(autumn, CHICAGO) - start_of_day(autumn, CHICAGO) == timedelta(hours=25)


@pytest.mark.outside(
    rule="a local time that occurs twice is the first of the two",
    source="RFC 5545, section 3.3.5 (New York 2007-11-04)",
)
def test_time_that_occurs_twice() -> None:
    found = resolve_local(datetime.fromisoformat("2007-11-04T01:30"), NEW_YORK)
    assert found == _instant("2007-11-04T01:30:00-04:00")
    assert in_zone(found, NEW_YORK).isoformat() == "2007-11-04T01:30:00-04:00"


@pytest.mark.parametrize("naive", ["2026-11-01T01:30", "2027-11-07T01:30"])
@pytest.mark.outside(
    rule="a local time that occurs twice is the first of the two, Chicago 2026 and 2027",
    source="computed from RFC 5545, section 3.3.5, and 15 U.S.C. 260a(a), agreed by zoneinfo",
)
def test_time_that_occurs_twice_in_chicago(naive: str) -> None:
    found = resolve_local(datetime.fromisoformat(naive), CHICAGO)
    assert found == _instant(f"{naive[:10]}T06:30:00Z")
    assert found == datetime.fromisoformat(naive).replace(tzinfo=ZoneInfo(CHICAGO)).astimezone(UTC)


@pytest.mark.parametrize(
    ("naive", "zone_name", "read_as"),
    [
        ("2007-03-11T02:30", NEW_YORK, "2007-03-11T07:30:00Z"),
        ("2026-03-08T02:30", CHICAGO, "2026-03-08T08:30:00Z"),
        ("2027-03-14T02:30", CHICAGO, "2027-03-14T08:30:00Z"),
    ],
)
@pytest.mark.outside(
    rule="a local time that does not occur would be read with the offset before the gap; a typed one is refused",
    source="RFC 5545, section 3.3.5 (New York 2007-03-11); Chicago computed from it, agreed by zoneinfo",
)
def test_time_that_does_not_occur(naive: str, zone_name: str, read_as: str) -> None:
    """The reading of the standard lies half an hour behind the later neighbour that the refusal names."""
    with pytest.raises(TimeDoesNotExist) as refusal:
        resolve_local(datetime.fromisoformat(naive), zone_name)
    assert _instant(read_as) - refusal.value.after.astimezone(UTC) == timedelta(minutes=30)
    assert in_zone(_instant(read_as), zone_name).replace(tzinfo=None) == datetime.fromisoformat(naive) + timedelta(
        hours=1
    )


@pytest.mark.parametrize(
    ("day", "hours"), [("2026-03-07", 23), ("2026-10-31", 25)], ids=["clock goes forward", "clock goes back"]
)
@pytest.mark.outside(
    rule="a day later is the same clock time; 24 hours later is not, when the clock changes between",
    source="computed from 15 U.S.C. 260a(a), agreed by zoneinfo and pendulum",
)
def test_a_day_is_not_always_24_hours(day: str, hours: int) -> None:
    noon = datetime.fromisoformat(f"{day}T12:00")
    start = resolve_local(noon, CHICAGO)
    assert resolve_local(noon + timedelta(days=1), CHICAGO) - start == timedelta(hours=hours)
    assert in_zone(start + timedelta(hours=24), CHICAGO).hour == 12 + 24 - hours


@pytest.mark.outside(
    rule="an age in days is a difference of local dates, not of seconds",
    source="computed from 15 U.S.C. 260a(a), agreed by pendulum",
)
def test_age_across_the_clock_change() -> None:
    start, today = start_of_day(date(2026, 3, 8), CHICAGO), start_of_day(date(2026, 4, 7), CHICAGO)
    assert (today - start).days == 29
    assert age(local_day(start, CHICAGO), local_day(today, CHICAGO)).days == 30


@pytest.mark.outside(
    rule="an age is 0 on the day itself and 1 from local midnight on, not after 24 hours",
    source="computed from 15 U.S.C. 260a(a), agreed by zoneinfo",
)
def test_age_turns_at_local_midnight() -> None:
    pulled = _instant("2026-07-10T23:30:00-05:00")
    day = local_day(pulled, CHICAGO)
    assert pulled.date() == date(2026, 7, 11)
    assert day == date(2026, 7, 10)
    midnight = end_of_day(day, CHICAGO)
    assert midnight == _instant("2026-07-11T05:00:00Z")
    assert age(day, local_day(midnight - SECOND, CHICAGO)).days == 0
    assert age(day, local_day(midnight, CHICAGO)).days == 1
