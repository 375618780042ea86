"""Days and local times in zones whose clocks jump at awkward hours."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from breakdesk.rules.zones import (
    TimeDoesNotExist,
    UnknownZone,
    end_of_day,
    first_instant_at,
    in_zone,
    local_day,
    resolve_local,
    start_of_day,
    zone,
)

# Zones that jump at midnight, at a minute past it, by half an hour, over the date line, on a Friday, or never.
ZONES = st.sampled_from(
    [
        "UTC",
        "America/Chicago",
        "America/Havana",
        "America/Santiago",
        "America/Sao_Paulo",
        "America/St_Johns",
        "America/Nuuk",
        "Africa/Cairo",
        "Asia/Beirut",
        "Asia/Tehran",
        "Asia/Kathmandu",
        "Australia/Lord_Howe",
        "Pacific/Apia",
        "Pacific/Kwajalein",
    ]
)
DAYS = st.dates(date(1970, 1, 3), date(2037, 12, 29))
QUARTER = timedelta(minutes=15)
RULE = settings(max_examples=200, deadline=None)


@RULE
@given(DAYS, ZONES)
@example(date(2024, 9, 8), "America/Santiago")
@example(date(2024, 11, 3), "America/Havana")
@example(date(2010, 11, 7), "America/St_Johns")
@example(date(2010, 11, 6), "America/St_Johns")
@example(date(2011, 12, 29), "Pacific/Apia")
@example(date(2011, 12, 30), "Pacific/Apia")
@example(date(1993, 8, 21), "Pacific/Kwajalein")
def test_a_day_begins_at_the_earliest_instant_with_its_date(day: date, zone_name: str) -> None:
    """A day begins at the earliest instant with that local date and ends where the next begins."""
    start = start_of_day(day, zone_name)
    window = [start + QUARTER * step for step in range(-120, 0)]
    assert all(local_day(instant, zone_name) < day for instant in [*window, start - timedelta(microseconds=1)])
    assert end_of_day(day, zone_name) == start_of_day(day + timedelta(days=1), zone_name)
    if end_of_day(day, zone_name) == start:
        assert local_day(start, zone_name) > day
    else:
        assert local_day(start, zone_name) == day


def test_a_day_that_the_calendar_skipped_takes_no_time() -> None:
    """Samoa went from 29 to 31 December 2011: the 30th begins and ends where the 31st begins."""
    jump = datetime(2011, 12, 30, 10, tzinfo=UTC)
    skipped = date(2011, 12, 30)
    assert start_of_day(skipped, "Pacific/Apia") == end_of_day(skipped, "Pacific/Apia") == jump
    assert end_of_day(date(2011, 12, 29), "Pacific/Apia") == jump
    assert start_of_day(date(2011, 12, 31), "Pacific/Apia") == jump


def test_the_last_day_that_can_be_written_has_an_end() -> None:
    """A card that never expires is often written 9999-12-31."""
    assert end_of_day(date.max, "America/Chicago") > start_of_day(date.max, "America/Chicago")


@RULE
@given(st.datetimes(datetime.fromisoformat("1970-01-03T00:00"), datetime.fromisoformat("2037-12-29T00:00")), ZONES)
@example(datetime.fromisoformat("2026-03-08T02:30"), "America/Chicago")
@example(datetime.fromisoformat("2026-11-01T01:30"), "America/Chicago")
@example(datetime.fromisoformat("2011-12-30T12:00"), "Pacific/Apia")
@example(datetime.fromisoformat("2026-10-04T02:15"), "Australia/Lord_Howe")
@example(datetime.fromisoformat("2026-04-05T01:45"), "Australia/Lord_Howe")
def test_a_local_time_is_its_first_occurrence_or_is_refused(naive: datetime, zone_name: str) -> None:
    """A typed local time that occurs twice is the first of the two; one that does not occur is refused."""
    instant = first_instant_at(naive, zone_name)
    if in_zone(instant, zone_name).replace(tzinfo=None) == naive:
        assert resolve_local(naive, zone_name) == instant
        earlier = [instant - QUARTER * step for step in range(1, 9)]
        assert all(in_zone(moment, zone_name).replace(tzinfo=None) != naive for moment in earlier)
    else:
        with pytest.raises(TimeDoesNotExist) as refusal:
            resolve_local(naive, zone_name)
        before, after = refusal.value.before, refusal.value.after
        assert before.replace(tzinfo=None) < naive < after.replace(tzinfo=None)
        assert after.astimezone(UTC) - before.astimezone(UTC) == timedelta(minutes=1)
        assert in_zone(instant - timedelta(microseconds=1), zone_name).replace(tzinfo=None) < naive
        assert instant == after


def test_a_refused_time_names_both_neighbours() -> None:
    with pytest.raises(TimeDoesNotExist) as refusal:
        resolve_local(datetime.fromisoformat("2026-03-08T02:30"), "America/Chicago")
    assert refusal.value.before.isoformat() == "2026-03-08T01:59:00-06:00"
    assert refusal.value.after.isoformat() == "2026-03-08T03:00:00-05:00"
    sentence = str(refusal.value)
    for part in ("02:30 on 8 March 2026", "America/Chicago", "01:59 on 8 March 2026", "03:00 on 8 March 2026"):
        assert part in sentence


@pytest.mark.parametrize("name", ["", "America", "Nowhere/At_All", "../etc/passwd", "/etc/passwd", "a\0b", "A" * 5000])
def test_an_unknown_zone_is_a_sentence(name: str) -> None:
    with pytest.raises(UnknownZone, match="There is no time zone called"):
        zone(name)


def test_an_instant_without_a_zone_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="must carry its zone"):
        local_day(datetime.fromisoformat("2026-01-01T00:00"), "UTC")


@pytest.mark.parametrize(
    ("written", "meant"),
    [("Denver", "America/Denver"), ("new york", "America/New_York"), ("europe/berlin", "Europe/Berlin")],
)
def test_a_city_alone_is_answered_with_the_zone_that_is_meant(written: str, meant: str) -> None:
    with pytest.raises(UnknownZone, match=f"did you mean {meant}"):
        zone(written)


def test_a_name_like_none_is_answered_with_an_example() -> None:
    with pytest.raises(UnknownZone, match="write it like America/Chicago"):
        zone("Mars/Base")
