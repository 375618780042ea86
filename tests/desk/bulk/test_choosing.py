"""Choosing whom to write to, and by which way."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

import pytest

from breakdesk.desk import following, submitting, telling
from breakdesk.desk.bulk import OPTED_OUT, TOLD_TODAY, Wanted, choose, keys_of
from breakdesk.desk.ways import ways_to
from breakdesk.store import models
from tests.desk.conftest import World


def names(world: World, wanted: Wanted, **more: bool) -> list[str]:
    return [item.name.split()[0] for item in choose(world.desk, wanted, **more)]


def submit(world: World, name: str, **more: str) -> str:
    tag = world.pull(name, **more)
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference=f"R{tag}")))
    return tag


@pytest.fixture
def told_ada(world: World) -> World:
    """Ada was told everything today; Bo has news with one maker; Cy with another."""
    tag = submit(world, "Ada")
    world.done(telling.mark_told(world.desk, world.people["Ada"], [world.claim(tag).id], "direct", "Hello."))
    submit(world, "Bo", maker="Rising Press")
    world.pull("Cy")
    return world


def test_each_filter_narrows(told_ada: World) -> None:
    world = told_ada
    assert names(world, Wanted()) == ["Ada", "Bo", "Cy"]
    assert names(world, Wanted(news="any")) == ["Bo", "Cy"]
    assert names(world, Wanted(news="submitted")) == ["Bo"]
    assert names(world, Wanted(maker_id=world.makers["Tern Cards"])) == ["Ada", "Cy"]
    assert names(world, Wanted(break_id=77)) == []
    assert names(world, Wanted(person_ids=(world.people["Cy"],))) == ["Cy"]
    assert names(world, Wanted(silent_days=1)) == ["Bo", "Cy"]
    assert names(world, Wanted(due=True)) == []
    world.later(days=3)
    assert names(world, Wanted(due=True)) == ["Bo", "Cy"]
    assert names(world, Wanted(silent_days=3)) == ["Ada", "Bo", "Cy"]
    assert names(world, Wanted(silent_days=4)) == ["Bo", "Cy"]


def test_telling_the_same_again_is_deliberate(told_ada: World) -> None:
    world = told_ada
    (ada,) = choose(world.desk, Wanted(person_ids=(world.people["Ada"],)))
    assert ada.left_out == TOLD_TODAY
    assert keys_of([ada]) == ()
    (again,) = choose(world.desk, Wanted(person_ids=(world.people["Ada"],)), again=True)
    assert again.left_out == ""


def test_who_opted_out_is_listed_and_never_written_to(told_ada: World, reach: Callable[..., int]) -> None:
    reach("Bo", opted_out=True)
    world = told_ada
    found = choose(world.desk, Wanted(news="any"))
    assert [(item.name, item.left_out) for item in found] == [("Bo Larch", OPTED_OUT), ("Cy Wold", "")]
    world.done(following.park(world.desk, "tell", world.people["Cy"], world.now.date().replace(day=9), "Away."))
    assert keys_of(choose(world.desk, Wanted(news="any"))) == ()


@pytest.mark.parametrize(
    ("columns", "channel", "note"),
    [
        ({"channel": "email", "email": "bo@mail.example"}, "email", ""),
        ({"channel": "email", "fallback_channel": "sms", "phone": "+1 555 0100"}, "sms", "no e-mail address"),
        ({"channel": "email", "fallback_channel": "sms"}, "email", "no e-mail address"),
        ({"channel": "sms", "fallback_channel": "email", "email": "bo@mail.example"}, "email", "no phone number"),
        ({"channel": "", "fallback_channel": "email"}, "direct", ""),
    ],
)
def test_the_fallback_serves_where_the_preferred_way_cannot(
    world: World, reach: Callable[..., int], columns: dict[str, str], channel: str, note: str
) -> None:
    key = reach("Bo", **columns)
    way = ways_to(world.desk, [key])[key]
    assert way.channel == channel
    assert note in way.note
    world.pull("Bo")
    assert telling.telling_for(world.desk, key).message.channel == channel


def test_the_house_settles_how_long_a_direct_message_may_be(world: World) -> None:
    world.pull("Bo")
    models.Term.create(name="direct_limit", value="100", recorded_at=world.now)
    message = telling.telling_for(world.desk, world.people["Bo"]).message
    assert len(message.parts) > 1
    assert all(len(part) <= 100 for part in message.parts)


def test_quiet_hours_end_by_the_participants_clock(world: World, reach: Callable[..., int]) -> None:
    models.Term.create(name="quiet_sms", value="22:00-07:30", recorded_at=world.now)
    key = reach("Bo", zone="Asia/Tokyo", channel="sms", phone="+81 3 5550 0100")
    assert ways_to(world.desk, [key])[key].quiet_until == datetime(2026, 3, 2, 22, 30, tzinfo=UTC)
    assert ways_to(world.desk, [key], "email")[key].quiet_until is None
    reach("Bo", zone="")
    assert ways_to(world.desk, [key])[key].quiet_until is None
