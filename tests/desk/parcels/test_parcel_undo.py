"""What is changed of a parcel itself is undone by name like everything else, and its words go with their person."""

from __future__ import annotations

from typing import Any

import pytest

from breakdesk.desk import arriving, people, shipping, submitting, undoing
from breakdesk.desk.checking import verify
from breakdesk.desk.parcel_details import Contents, parcel_details, report_loss, send_to, set_contents
from breakdesk.store import models


@pytest.fixture
def parcel(world: Any) -> int:
    tag = world.pull("Ada")
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag)))
    world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag)))
    world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Row", "US"))
    world.done(shipping.start_parcel(world.desk, [tag]))
    return int(models.Parcel.get().id)


def test_contents_are_undone_and_done_again_by_name(world: Any, parcel: int) -> None:
    world.done(set_contents(world.desk, parcel, Contents(lines=["2 hits"], gift_note="For Mia")))
    done = world.done(set_contents(world.desk, parcel, Contents(lines=["3 hits"], weight_grams=80)))
    assert f"contents of a parcel (parcel {parcel})" in [f"{one.words} {one.names}" for one in undoing.last_actions()]
    undone = world.done(undoing.undo(world.desk, done.key))
    now = parcel_details(world.desk, parcel)
    assert (now.lines, now.gift_note, now.weight_grams) == (("2 hits",), "For Mia", None)
    world.refused(lambda: undoing.undo(world.desk, done.key))
    world.done(undoing.undo(world.desk, undone.key))
    assert parcel_details(world.desk, parcel).lines == ("3 hits",)
    assert list(verify(world.desk)) == []


def test_another_recipient_is_undone_while_nothing_later_changed_it(world: Any, parcel: int) -> None:
    first = world.done(send_to(world.desk, parcel, "Mia", "2 Low Lane", "GB"))
    second = world.done(send_to(world.desk, parcel, "", "", ""))
    world.refused(lambda: undoing.undo(world.desk, first.key))
    world.done(undoing.undo(world.desk, second.key))
    assert parcel_details(world.desk, parcel).to_name == "Mia"
    world.done(undoing.undo(world.desk, first.key))
    assert not parcel_details(world.desk, parcel).is_gift


def test_a_report_of_a_loss_is_undone(world: Any, parcel: int) -> None:
    world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=parcel, reason="in a hurry")))
    done = world.done(report_loss(world.desk, parcel, "by their form"))
    undone = world.done(undoing.undo(world.desk, done.key))
    assert parcel_details(world.desk, parcel).loss_reported_on is None
    world.done(undoing.undo(world.desk, undone.key))
    assert parcel_details(world.desk, parcel).loss_reported_on is not None


def test_nothing_is_undone_of_a_parcel_that_left(world: Any, parcel: int) -> None:
    done = world.done(set_contents(world.desk, parcel, Contents(weight_grams=80)))
    world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=parcel, reason="in a hurry")))
    world.refused(lambda: undoing.undo(world.desk, done.key))
