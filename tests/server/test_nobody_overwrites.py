"""People at one desk on a server, each in a process of their own: exactly one does a thing, and nothing is lost."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from breakdesk.desk import arriving
from breakdesk.desk.checking import verify
from breakdesk.store import models
from tests.desk.conftest import World
from tests.server.conftest import Seat, all_at_once

SitDown = Callable[..., list[Seat]]


def once_each(answers: list[list[dict[str, Any]]]) -> None:
    """Of everything that everybody tried, exactly one did it and the others were told why not."""
    for tries in zip(*answers, strict=True):
        assert sum(one["done"] for one in tries) == 1, tries
        assert all(one["said"].endswith((".", "”")) for one in tries), tries


def test_a_claim_is_submitted_once(world: World, sit_down: SitDown) -> None:
    tags = [world.pull(subject=f"Card {number}") for number in range(8)]
    answers = all_at_once(sit_down("ANN", "BEA", "CAT"), [{"do": "submit", "tag": tag} for tag in tags])
    once_each(answers)
    assert models.Action.select().where(models.Action.kind == "submit").count() == len(tags)
    assert list(verify(world.desk)) == []


def test_a_parcel_is_packed_once(world: World, sit_down: SitDown) -> None:
    tags = [world.pull(subject=f"Card {number}") for number in range(4)]
    for tag in tags:
        world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag, condition="Clean.")))
    once_each(all_at_once(sit_down("ANN", "BEA"), [{"do": "pack", "tag": tag} for tag in tags]))
    assert models.Parcel.select().count() == len(tags)
    assert list(verify(world.desk)) == []


def test_a_participant_is_told_once(world: World, sit_down: SitDown) -> None:
    for owner in ("Ada", "Bo", "Cy"):
        world.pull(owner)
    seats = sit_down("ANN", "BEA")
    people = list(world.people.values())
    for seat in seats:
        assert all(seat.does(do="write to", person=person)["claims"] == 1 for person in people)
    once_each(all_at_once(seats, [{"do": "tell", "person": person} for person in people]))
    assert models.Telling.select().count() == len(people)
    assert list(verify(world.desk)) == []


def test_a_code_is_on_one_claim(world: World, sit_down: SitDown) -> None:
    tags = [world.pull(subject=name) for name in ("Card A", "Card B")]
    seats = sit_down("ANN", "BEA")
    for number in range(4):
        code = f"KWMH-442{number}"
        for seat, tag in zip(seats, tags, strict=True):
            seat.order({"do": "code", "tag": tag, "code": code})
        answers = [seat.answers()[0] for seat in seats]
        assert sum(answer["done"] for answer in answers) == 1, answers
        assert any("That code is on claim" in answer["said"] for answer in answers), answers
    assert list(verify(world.desk)) == []


def test_what_everybody_writes_at_once_is_all_there(world: World, sit_down: SitDown) -> None:
    tags = [world.pull(owner, subject=f"For {owner}") for owner in ("Ada", "Bo")]
    before = models.Action.select().count()
    notes = [{"do": "note", "tag": tags[number % 2], "text": f"note {number}"} for number in range(20)]
    answers = all_at_once(sit_down("ANN", "BEA", "CAT"), notes)
    assert all(answer["done"] for part in answers for answer in part)
    numbers = sorted(answer["number"] for part in answers for answer in part)
    assert numbers == list(range(before + 1, before + 1 + 60))
    assert list(verify(world.desk)) == []


def test_a_stale_change_is_refused_with_who_did_what_and_can_be_done_on_top(world: World, sit_down: SitDown) -> None:
    tag, other = world.pull(), world.pull("Bo")
    ann, bea = sit_down("ANN", "BEA")
    bea.does(do="look")
    assert ann.does(do="submit", tag=tag, reference="Q 7")["done"]
    assert bea.does(do="note", tag=other, text="nothing stands in the way of this")["done"]
    refused = bea.does(do="note", tag=tag, text="the corner is soft")
    assert not refused["done"]
    assert refused["said"].startswith("ANN")
    assert "submit, 2 March 2026, 11:00" in refused["said"]
    assert "goes on top" in refused["said"]
    assert bea.does(do="note", tag=tag, text="the corner is soft")["done"]
    assert bea.does(do="note", tag=tag, text="and what she did herself is no news")["done"]
    assert [event.kind for event in world.events(tag)] == ["pulled", "submitted", "noted", "noted"]
    assert list(verify(world.desk)) == []


def test_what_is_refused_anyway_says_both(world: World, sit_down: SitDown) -> None:
    tag = world.pull()
    ann, bea = sit_down("ANN", "BEA")
    bea.does(do="look")
    assert ann.does(do="submit", tag=tag)["done"]
    said = bea.does(do="submit", tag=tag)["said"]
    assert "ANN" in said
    assert "is submitted to the maker, so it cannot be submitted" in said
