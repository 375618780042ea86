"""Settled values over time: "A policy, hour or term is the one in force on the day its period counts from." """

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.office import next_opening
from breakdesk.rules.parties import House, Maker, Person
from breakdesk.rules.terms import HOUSE_DEFAULTS, MAKER_DEFAULTS, terms_from

RULE = settings(max_examples=150, deadline=None)
DAYS = st.dates(date(2024, 1, 1), date(2027, 12, 31))
ROWS = st.lists(st.tuples(st.just("update_every_days"), st.integers(1, 99).map(str), st.none() | DAYS), max_size=6)


@RULE
@given(ROWS, DAYS)
def test_the_latest_value_settled_by_the_day_is_in_force(rows: list[tuple[str, str, date | None]], day: date) -> None:
    in_force = [(row[2] or date.min, place, row[1]) for place, row in enumerate(rows) if (row[2] or date.min) <= day]
    expected = max(in_force, default=(date.min, 0, HOUSE_DEFAULTS["update_every_days"]))[2]
    assert terms_from(HOUSE_DEFAULTS, rows).count_on("update_every_days", day) == int(expected)


def test_nothing_but_a_term_has_a_value() -> None:
    with pytest.raises(KeyError):
        terms_from(HOUSE_DEFAULTS, []).on("colour", date(2026, 1, 1))


def test_the_stated_defaults() -> None:
    house, maker = House(), Maker()
    day = date(2026, 1, 1)
    stated = {
        "submit_within_days": 3, "tell_urgent_within_days": 1, "tell_routine_within_days": 3, "update_every_days": 60,
        "address_fresh_days": 90, "make_good_within_days": 7, "arrived_after_days": 10,
        "arrived_after_days_abroad": 25, "offer_without_date_days": 14,
    }  # fmt: skip
    assert {name: house.terms.count_on(name, day) for name in stated} == stated
    assert (maker.terms.count_on("ask_after_months", day), maker.terms.count_on("ask_every_days", day)) == (4, 30)
    assert maker.terms.on("expired_policy", day) == "unknown"
    assert (maker.zone_on(day), maker.terms.on("country", day)) == ("America/Chicago", "US")


def test_a_house_that_moves_has_the_zone_whose_first_day_has_begun_there() -> None:
    house = House(
        "H", terms_from(HOUSE_DEFAULTS, [("zone", "America/Chicago", None), ("zone", "Asia/Tokyo", date(2026, 3, 10))])
    )
    begins = datetime(2026, 3, 9, 15, tzinfo=UTC)
    assert house.today(begins) == date(2026, 3, 10)
    assert house.today(begins - timedelta(microseconds=1)) == date(2026, 3, 9)
    assert house.zone_at(begins - timedelta(microseconds=1)) == "America/Chicago"
    assert (house.zone_on(date(2026, 3, 9)), house.zone_on(date(2026, 3, 10))) == ("America/Chicago", "Asia/Tokyo")


@RULE
@given(st.none() | DAYS, st.none() | DAYS, st.none() | DAYS, st.booleans(), DAYS)
def test_address_confirmed(
    confirmed: date | None, delivered: date | None, moved: date | None, has_address: bool, today: date
) -> None:
    """ "not empty, today - the later of address_confirmed_on and the last delivery there <= 90 days, nobody said
    'I moved' since." """
    person = Person(
        1, "P", has_address=has_address, address_confirmed_on=confirmed, delivered_on=delivered, moved_on=moved
    )
    known = [day for day in (confirmed, delivered) if day is not None]
    expected = (
        has_address
        and bool(known)
        and (today - max(known)).days <= 90
        and not (moved is not None and max(known) <= moved <= today)
    )
    assert person.address_is_confirmed(House(), today) == expected


def test_a_delivery_after_the_move_confirms_the_address() -> None:
    moved, delivered = date(2026, 1, 5), date(2026, 1, 9)
    person = Person(1, "P", has_address=True, moved_on=moved, delivered_on=delivered)
    assert person.address_is_confirmed(House(), date(2026, 1, 9))


def test_the_next_opening_is_by_the_hours_of_its_own_day() -> None:
    rows = [("opens", "11:00", date(2026, 3, 9)), ("opens", "08:00", date(2026, 3, 11))]
    maker = Maker(7, "Tern", terms_from(MAKER_DEFAULTS, rows), closed_days=frozenset({date(2026, 3, 10)}))
    friday = datetime(2026, 3, 6, 23, tzinfo=UTC)
    opening = maker.opening_after(friday)
    assert opening == datetime(2026, 3, 9, 16, tzinfo=UTC)
    assert maker.is_open(opening)
    assert not maker.is_open(opening - timedelta(microseconds=1))
    assert maker.opening_after(opening) == datetime(2026, 3, 11, 13, tzinfo=UTC)


@RULE
@given(st.datetimes(datetime(2026, 1, 1), datetime(2026, 12, 31), timezones=st.just(UTC)))  # noqa: DTZ001
def test_where_hours_never_changed_it_is_the_offices_next_opening(now: datetime) -> None:
    for zone in ("Asia/Tokyo", "Pacific/Honolulu", "Africa/Cairo"):
        maker = Maker(7, "Tern", terms_from(MAKER_DEFAULTS, [("zone", zone, None)]))
        assert maker.opening_after(now) == next_opening(maker.office_on(maker.today(now)), now)


def test_an_unknown_maker_is_measured_by_the_defaults() -> None:
    assert Maker().terms.defaults == MAKER_DEFAULTS
    assert Maker().office_on(date(2026, 1, 5)).zone == "America/Chicago"
