"""Days and moments have one reading, or are refused with all of theirs."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.files.dates import Moment, parse_day, parse_moment
from breakdesk.files.unreadable import Unreadable

CHICAGO = "America/Chicago"
DAYS = st.dates(date(1990, 1, 1), date(2100, 12, 31))
MONTHS = (
    "January February March April May June July August September October November December".split()  # noqa: SIM905
)


@given(DAYS)
@settings(max_examples=200, deadline=None)
def test_every_spelling_with_a_month_in_letters_or_the_year_first_is_the_day(day: date) -> None:
    month = MONTHS[day.month - 1]
    for text in (
        day.isoformat(),
        f"{day.year}/{day.month}/{day.day}",
        f"{day.day} {month[:3]} {day.year}",
        f"{day.day} {month} {day.year}",
        f"{month} {day.day}, {day.year}",
        f"{month[:3].upper()} {day.day} {day.year}",
        f"{day.day:02}-{month[:3]}-{day.year}",
        f"{day.isoformat()} 20:15",
    ):
        assert parse_day(text) == day, text


@given(DAYS, st.sampled_from("/-."))
@settings(max_examples=200, deadline=None)
def test_a_day_in_figures_is_read_where_only_one_order_makes_a_day(day: date, sign: str) -> None:
    text = f"{day.month}{sign}{day.day}{sign}{day.year}"
    if day.day > 12 or day.day == day.month:
        assert parse_day(text) == day
        assert parse_day(f"{day.day}{sign}{day.month}{sign}{day.year}") == day
    else:
        with pytest.raises(Unreadable) as refused:
            parse_day(text)
        other = date(day.year, day.day, day.month)
        for reading in (day, other):
            assert f"{reading.day} {MONTHS[reading.month - 1]} {reading.year}" in refused.value.what
            assert reading.isoformat() in refused.value.remedy


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("3/31/2027", date(2027, 3, 31)),
        ("3/31/27", date(2027, 3, 31)),
        ("31-Mar-27", date(2027, 3, 31)),
        ("Sept. 3, 2027", date(2027, 9, 3)),
        ("31st march 2027", date(2027, 3, 31)),
        (" 2027-03-31 ", date(2027, 3, 31)),
        ("2028-02-29", date(2028, 2, 29)),
    ],
)
def test_what_people_write(text: str, day: date) -> None:
    assert parse_day(text) == day


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ("3/4/2027", "4 March 2027 or 3 April 2027"),
        ("25/12/26", "25 December 2026 or 26 December 2025"),
        ("2027-02-29", "no such day"),
        ("2/30/2027", "not a date"),
        ("1989-12-31", "year"),
        ("2101-01-01", "year"),
        ("03/2027", "month, not a day"),
        ("Mar 2027", "month, not a day"),
        ("46112", "spreadsheet's number"),
        ("soon", "not a date"),
        ("", "not a date"),
        ("," * 100_000, "not a date"),
        ("2027-03-31T20:15Z", "not a date"),
        ("२०२७-०३-३१", "not a date"),
    ],
)
def test_what_is_refused(text: str, what: str) -> None:
    with pytest.raises(Unreadable, match=what):
        parse_day(text)


@pytest.mark.parametrize(
    ("text", "moment"),
    [
        ("2027-03-31", Moment(date(2027, 3, 31), None)),
        ("31 Mar 2027", Moment(date(2027, 3, 31), None)),
        ("2027-01-31T20:15", Moment(date(2027, 1, 31), datetime(2027, 2, 1, 2, 15, tzinfo=UTC))),
        ("1/31/2027 8:15 PM", Moment(date(2027, 1, 31), datetime(2027, 2, 1, 2, 15, tzinfo=UTC))),
        ("January 31, 2027 at 8pm", Moment(date(2027, 1, 31), datetime(2027, 2, 1, 2, 0, tzinfo=UTC))),
        ("2027-02-01T02:15Z", Moment(date(2027, 1, 31), datetime(2027, 2, 1, 2, 15, tzinfo=UTC))),
        ("2027-02-01 03:15:30+01:00", Moment(date(2027, 1, 31), datetime(2027, 2, 1, 2, 15, 30, tzinfo=UTC))),
        # Occurs twice; the first is meant.
        ("2026-11-01 01:30", Moment(date(2026, 11, 1), datetime(2026, 11, 1, 6, 30, tzinfo=UTC))),
    ],
)
def test_moments(text: str, moment: Moment) -> None:
    assert parse_moment(text, CHICAGO) == moment


def test_a_local_time_that_does_not_exist_is_refused_with_its_neighbours() -> None:
    with pytest.raises(Unreadable, match=r"01:59.*03:00"):
        parse_moment("2026-03-08 02:30", CHICAGO)


@pytest.mark.parametrize("text", ["2027-03-31 24:01", "2027-03-31 13:00 pm", "2027-03-31 8", "3/4/2027 20:15", "20:15"])
def test_moments_that_are_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        parse_moment(text, CHICAGO)


@given(
    st.datetimes(datetime(1991, 1, 1), datetime(2099, 1, 1), timezones=st.just(UTC)),  # noqa: DTZ001
    st.sampled_from([CHICAGO, "Asia/Tokyo", "Australia/Lord_Howe", "America/St_Johns"]),
)
@settings(max_examples=100, deadline=None)
def test_with_an_offset_the_instant_is_kept_and_the_day_is_the_houses(instant: datetime, zone: str) -> None:
    written = instant.isoformat()
    assert parse_moment(written, zone) == Moment(instant.astimezone(ZoneInfo(zone)).date(), instant)


@given(st.text(max_size=40))
@settings(max_examples=200, deadline=None)
def test_any_text_is_read_or_refused_and_nothing_else(text: str) -> None:
    for read in (parse_day, lambda cell: parse_moment(cell, CHICAGO)):
        with suppress(Unreadable):
            assert read(text) is not None


def test_a_sentence_about_a_typed_day_begins_with_a_capital() -> None:
    with pytest.raises(Unreadable, match=r"^This is not a date\. Write"):
        parse_day("someday")
