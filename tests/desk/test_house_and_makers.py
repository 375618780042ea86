"""The house's own facts, and makers taken in by hand."""

from __future__ import annotations

from datetime import date

import pytest

from breakdesk.desk.house import NewHouse, name_house, start_house
from breakdesk.desk.maker_list import add_maker, keep_contact, makers_listed
from breakdesk.desk.terms import terms_of
from breakdesk.store.parties import read_house


def test_a_house_is_named_without_its_name_in_the_history(world):
    assert "The Quay now" in world.done(name_house(world.desk, "  The   Quay ")).said
    assert read_house().name == "The Quay"
    lines = world.desk.database.execute_sql("SELECT body FROM history_line").fetchall()
    assert "Quay" not in str(lines)


@pytest.mark.parametrize("name", ["", "   ", "x" * 81])
def test_a_house_needs_a_name_of_a_fair_length(world, name):
    world.refused(lambda: name_house(world.desk, name))
    assert read_house().name == "The Corner"


def test_a_new_house_knows_its_zone_and_currency_since_always(world):
    world.done(start_house(world.desk, NewHouse(name="The Quay", zone=" Asia/Tokyo", currency="jpy")))
    house = read_house()
    assert (house.terms.on("zone", date(1999, 1, 1)), house.terms.on("currency", date(1999, 1, 1))) == (
        "Asia/Tokyo",
        "JPY",
    )


@pytest.mark.parametrize(("zone", "currency"), [("Mars/Base", "USD"), ("Asia/Tokyo", "shells")])
def test_a_new_house_is_taken_whole_or_not_at_all(world, zone, currency):
    world.refused(lambda: start_house(world.desk, NewHouse(name="The Quay", zone=zone, currency=currency)))
    assert read_house().name == "The Corner"
    assert read_house().terms.versions == {}


def test_makers_are_listed_by_name_and_a_new_one_begins_with_what_is_usual(world):
    world.done(add_maker(world.desk, "anchor  cards"))
    assert [maker.name for maker in makers_listed(world.desk)] == [
        "anchor cards", "Rising Press", "Setting Press", "Tern Cards",
    ]  # fmt: skip
    view = terms_of(world.desk, "Anchor Cards")
    assert all(term.today == term.default for term in view.terms)
    assert date(2026, 7, 3) in dict(view.holidays)


@pytest.mark.parametrize("name", ["", " ", "TERN cards", "x" * 201])
def test_a_maker_is_refused_without_a_name_or_twice(world, name):
    world.refused(lambda: add_maker(world.desk, name))


def test_a_contact_is_kept_and_forgotten(world):
    assert "kept" in world.done(keep_contact(world.desk, "tern cards", " desk@tern.example ")).said
    assert {maker.name: maker.contact for maker in makers_listed(world.desk)}["Tern Cards"] == "desk@tern.example"
    assert "forgotten" in world.done(keep_contact(world.desk, "Tern Cards", "")).said
    assert {maker.contact for maker in makers_listed(world.desk)} == {""}
    world.refused(lambda: keep_contact(world.desk, "Nobody", "x"))
