"""Quiet hours by the clock of a zone, over midnight and over the days on which the clock changes."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.quiet import quiet_until, read_hours, written_hours
from breakdesk.rules.zones import in_zone

NIGHT = (time(21), time(8))


def utc(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=UTC)


@pytest.mark.parametrize(
    ("now", "zone", "hours", "expected"),
    [
        ("2026-03-02 17:00", "America/Chicago", NIGHT, None),
        ("2026-03-03 03:00", "America/Chicago", NIGHT, "2026-03-03 14:00"),  # 21:00 is quiet already
        ("2026-03-03 02:59", "America/Chicago", NIGHT, None),
        ("2026-03-03 13:59", "America/Chicago", NIGHT, "2026-03-03 14:00"),
        ("2026-03-03 14:00", "America/Chicago", NIGHT, None),  # 08:00 is quiet no more
        ("2026-03-02 17:00", "Asia/Tokyo", NIGHT, "2026-03-02 23:00"),
        ("2026-03-02 18:30", "America/Chicago", (time(12), time(13)), "2026-03-02 19:00"),
        ("2026-03-02 19:00", "America/Chicago", (time(12), time(13)), None),
        ("2026-03-02 17:00", "America/Chicago", None, None),
        # The clock goes from 02:00 to 03:00 on 8 March 2026 (time zone database): the end in the gap is the jump.
        ("2026-03-08 07:30", "America/Chicago", (time(21), time(2, 30)), "2026-03-08 08:00"),
        # It goes from 02:00 back to 01:00 on 1 November 2026: the first 01:30 ends them.
        ("2026-11-01 06:15", "America/Chicago", (time(21), time(1, 30)), "2026-11-01 06:30"),
        ("2026-11-01 07:15", "America/Chicago", (time(21), time(1, 30)), None),
    ],
)
def test_when_they_end(now: str, zone: str, hours: tuple[time, time] | None, expected: str | None) -> None:
    assert quiet_until(utc(now), zone, hours) == (utc(expected) if expected else None)


@given(
    st.datetimes(timezones=st.just(UTC)),
    st.sampled_from(["America/Chicago", "Asia/Tokyo", "Europe/Berlin", "Australia/Lord_Howe"]),
    st.times(),
    st.times(),
)
@settings(max_examples=200, deadline=None)
def test_the_end_is_soon_and_is_not_quiet(moment: datetime, zone: str, begins: time, ends: time) -> None:
    hours = (begins.replace(second=0, microsecond=0), ends.replace(second=0, microsecond=0))
    if hours[0] == hours[1]:
        return
    now = moment.replace(year=2025 + moment.year % 3, day=min(moment.day, 28))
    end = quiet_until(now, zone, hours)
    if end is not None:
        assert now < end <= now + timedelta(hours=25)
        assert quiet_until(end, zone, hours) is None
        assert in_zone(end, zone).time().replace(tzinfo=None) >= hours[1]


@pytest.mark.parametrize("text", ["21:00-08:00", "18:00-24:00", " 12:00 - 13:30 ", ""])
def test_hours_are_read_and_written(text: str) -> None:
    hours = read_hours(text)
    assert read_hours(written_hours(hours)) == hours


@pytest.mark.parametrize(
    "text", ["21:00", "9-17", "24:00-08:00", "08:00-08:00", "00:00-24:00", "25:00-26:00", "21:00-08:00-09:00"]
)
def test_what_is_no_span_of_hours(text: str) -> None:
    with pytest.raises(ValueError, match=r"\S"):
        read_hours(text)
