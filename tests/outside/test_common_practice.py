"""The trade's rules of thumb for asking a maker. Nobody has published them; every operator knows them."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.claim import Claim
from breakdesk.rules.clocks import ask_from
from breakdesk.rules.days import add_months
from breakdesk.rules.office import is_open, next_opening
from breakdesk.rules.parties import House, Maker, Parties
from breakdesk.rules.rounds.ask import to_ask
from breakdesk.rules.rounds.items import Parked
from breakdesk.rules.terms import MAKER_DEFAULTS, terms_from

COMMON_PRACTICE = "common practice, no source"
MAKER = Maker(id=1, name="Pellwether Issue")
PARTIES = Parties(house=House(), makers={1: MAKER}, people={})
DAYS = st.dates(date(2020, 1, 1), date(2030, 12, 31))


def submitted(day: date, **facts: object) -> Claim:
    """A claim that waits with the maker since a day."""
    return Claim(
        id=1, tag="T", state="submitted", maker_id=1, pull_day=day, submitted_on=day, last_event_on=day,
        **facts,  # type: ignore[arg-type]
    )  # fmt: skip


def is_listed(claim: Claim, now: datetime) -> bool:
    """Whether today's ask round holds the claim."""
    return bool(to_ask([claim], PARTIES, now, Parked()))


def noon(day: date) -> datetime:
    """Noon of a day where the maker is, in UTC."""
    return datetime(day.year, day.month, day.day, 12, tzinfo=ZoneInfo("America/Chicago")).astimezone(UTC)


@pytest.mark.outside(rule="a maker is first asked 4 to 6 months after submission", source=COMMON_PRACTICE)
@given(DAYS)
@settings(max_examples=200, deadline=None)
def test_ask_after_four_to_six_months(day: date) -> None:
    first = ask_from(submitted(day), MAKER)
    assert first is not None
    assert add_months(day, 4) <= first <= add_months(day, 6)
    assert not is_listed(submitted(day), noon(first - timedelta(days=1)))
    assert is_listed(submitted(day), noon(first))


@pytest.mark.outside(rule="a maker is not asked two days after submission", source=COMMON_PRACTICE)
@given(DAYS, st.integers(0, 60))
@settings(max_examples=200, deadline=None)
def test_not_two_days_after_submission(day: date, later: int) -> None:
    assert not is_listed(submitted(day), noon(day + timedelta(days=2)))
    assert not is_listed(submitted(day), noon(day + timedelta(days=later)))


@pytest.mark.parametrize("zone", ["America/Chicago", "Europe/Stockholm", "Asia/Tokyo"])
@pytest.mark.parametrize(("weekday", "hour"), [(5, 0), (6, 12)], ids=["Saturday midnight", "Sunday noon"])
@pytest.mark.outside(
    rule="a maker is not written to on a Saturday at midnight or a Sunday at noon, as its own clock shows them",
    source=COMMON_PRACTICE,
)
def test_not_on_a_saturday_midnight_or_sunday_noon(zone: str, weekday: int, hour: int) -> None:
    maker = Maker(id=1, terms=terms_from(MAKER_DEFAULTS, [("zone", zone, None), ("country", "", None)]))
    for week in range(105):
        day = date(2026, 1, 5) + timedelta(weeks=week, days=weekday)
        now = datetime(day.year, day.month, day.day, hour, tzinfo=ZoneInfo(zone)).astimezone(UTC)
        office = maker.office_on(day)
        assert not is_open(office, now)
        # What is written then is offered again when the office opens: on Monday morning, where the maker is.
        opens = next_opening(office, now).astimezone(ZoneInfo(zone))
        assert (opens.weekday(), opens.hour, opens.minute) == (0, 9, 0)


@pytest.mark.outside(rule="a maker is not asked about a claim several times a day", source=COMMON_PRACTICE)
@given(DAYS, st.integers(0, 30), st.none() | st.integers(0, 30), st.integers(0, 23))
@settings(max_examples=200, deadline=None)
def test_not_several_times_a_day(asked: date, every: int, answer_days: int | None, hour: int) -> None:
    settled = [("ask_every_days", str(every), None), ("ask_after_months", "0", None)]
    maker = Maker(id=1, name="Hasty", terms=terms_from(MAKER_DEFAULTS, settled))
    parties = Parties(house=House(), makers={1: maker}, people={})
    claim = submitted(asked - timedelta(days=400), last_asked_on=asked, answer_days=answer_days)
    now = datetime(asked.year, asked.month, asked.day, hour, tzinfo=ZoneInfo("America/Chicago")).astimezone(UTC)
    assert to_ask([claim], parties, now, Parked()) == ()
    next_day = ask_from(claim, maker)
    assert next_day is not None
    assert next_day > asked
