"""A night: a break runs, claims are written down for whoever owns the card, and the pile is counted."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from breakdesk.desk import breaks, entering, undoing
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.store import models

LATE = datetime(2026, 3, 3, 4, 30, tzinfo=UTC)
"""22:30 on Monday in Chicago."""


@pytest.fixture
def night(world: Any) -> int:
    """A break by team that starts at 22:30; Ada has the herons, nobody bought the foxes."""
    product = world.products["Tern Cards"]
    row = models.Break.create(name="Night 1", folded="night 1", format="team", starts_at=LATE, night=date(2026, 3, 2))
    models.BreakProduct.create(break_=row.id, product=product)
    for team, owner in (("Marsh Herons", "Ada"), ("Dune Foxes", None)):
        spot = models.Spot.create(break_=row.id, product=product, holds=team, folded=team.casefold())
        if owner:
            models.SpotHolder.create(spot=spot.id, participant=world.people[owner])
    world.now = LATE
    return int(row.id)


def pull(world: Any, night: int, team: str, **more: Any) -> Any:
    """A claim of a team is written down."""
    reading = Reading(subjects=Field(("Kit Moor",)), teams=Field((team,)), **more)
    return entering.pull(world.desk, entering.Pull(break_id=night, reading=reading))


def test_past_midnight_it_is_still_the_night_and_the_spot_says_whose_it_is(world: Any, night: int) -> None:
    world.done(breaks.start_break(world.desk, night, "https://video.example/1"))
    world.later(hours=2, minutes=5)
    done = world.done(pull(world, night, "Marsh Herons"))
    (claim,) = world.claims(done.claims)
    assert (claim.pull_day, claim.owner_id, claim.video_seconds) == (date(2026, 3, 2), world.people["Ada"], 7500)
    assert (claim.product_id, claim.maker_id) == (world.products["Tern Cards"], world.makers["Tern Cards"])
    (unsold,) = world.claims(world.done(pull(world, night, "Dune Foxes")).claims)
    assert (unsold.owner_kind, unsold.news) == ("house", ())


def test_a_tag_is_on_one_claim(world: Any, night: int) -> None:
    world.done(pull(world, night, "Marsh Herons", tag=Field("S-1")))
    assert "another claim" in world.refused(lambda: pull(world, night, "Marsh Herons", tag=Field("s 1"))).what
    assert "cannot be a tag" in world.refused(lambda: pull(world, night, "Marsh Herons", tag=Field("x" * 25))).what
    assert "not in the desk" in world.refused(lambda: pull(world, 99, "Marsh Herons")).what


def test_the_first_pack_is_unopened_once_the_only_pull_is_undone(world: Any, night: int) -> None:
    def first_pack() -> object:
        return models.Break.get_by_id(night).first_pack_at

    pulled = world.done(pull(world, night, "Marsh Herons"))
    assert first_pack() == LATE
    undone = world.done(undoing.undo(world.desk, pulled.key))
    assert first_pack() is None
    world.done(undoing.undo(world.desk, undone.key))
    assert first_pack() == LATE


def test_the_pile_is_counted_at_the_end(world: Any, night: int) -> None:
    assert "not running" in world.refused(lambda: breaks.end_break(world.desk, night)).what
    world.done(breaks.start_break(world.desk, night))
    world.done(pull(world, night, "Marsh Herons"))
    world.later(hours=3)
    done = world.done(breaks.end_break(world.desk, night, on_pile=2))
    assert "1 on screen, 2 on the pile" in done.warnings[0]
    assert models.Break.get_by_id(night).ended_at == LATE + timedelta(hours=3)
    world.refused(lambda: breaks.start_break(world.desk, 99))
    (herons, foxes) = sorted(breaks.spot_board(world.desk, night), key=lambda line: line.holds, reverse=True)
    assert (herons.hits, foxes.hits, foxes.owners) == (1, 0, ())
