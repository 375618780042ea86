"""A missing hit belongs to the break: whose the card is that comes for it, the break's format says."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from breakdesk.desk import arriving, entering, envelopes, submitting
from breakdesk.desk.envelopes import CardLine
from breakdesk.desk.recognising import open_counter
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.store import models


@pytest.fixture
def missing(world: Any) -> str:
    """A missing hit of a break by team: Ada has the herons, Bo the foxes; the maker has the claim."""
    product = world.products["Tern Cards"]
    row = models.Break.create(name="Night 1", folded="night 1", format="team", night=date(2026, 3, 2))
    models.BreakProduct.create(break_=row.id, product=product)
    for team, subject, owner in (("Marsh Herons", "Kit Moor", "Ada"), ("Dune Foxes", "Una Dale", "Bo")):
        spot = models.Spot.create(break_=row.id, product=product, holds=team, folded=team.casefold())
        models.SpotHolder.create(spot=spot.id, participant=world.people[owner])
        models.Card.create(product=product, subject=subject, team=team, row_digest=subject)
    reading = Reading(kind=Field("shortage"), product_id=Field(product))
    done = world.done(entering.pull(world.desk, entering.Pull(break_id=int(row.id), reading=reading)))
    (claim,) = world.claims(done.claims)
    assert claim.owner_kind == "nobody"
    world.done(submitting.submit(world.desk, submitting.Submit(tag=claim.tag, reference="RF 5")))
    return str(claim.tag)


def test_the_card_that_comes_says_whose_it_is(world: Any, missing: str) -> None:
    done = world.done(arriving.in_hand(world.desk, arriving.InHand(tag=missing, came_as="una dale 3/25")))
    claim = world.claim(missing)
    assert "The break says whose it is." in done.said
    assert (claim.owner_id, claim.subject, claim.team) == (world.people["Bo"], "Una Dale", "Dune Foxes")
    assert (claim.numbered_to, claim.state) == (25, "in_hand")
    assert list(world.news(missing)) == [world.people["Bo"]]


def test_what_names_no_player_is_refused_and_a_strange_team_stays_open(world: Any, missing: str) -> None:
    world.refused(lambda: arriving.in_hand(world.desk, arriving.InHand(tag=missing, came_as="/25")))
    done = world.done(arriving.in_hand(world.desk, arriving.InHand(tag=missing, came_as="Somebody Else")))
    assert "say it yourself" in done.said
    assert world.claim(missing).owner_kind == "nobody"


def test_in_an_envelope_by_its_reference_and_never_by_a_line_alone(world: Any, missing: str) -> None:
    counter = open_counter(world.desk)
    by_line = envelopes.read_envelope(world.desk, counter, [CardLine(line="una dale")])
    (doubtful,) = by_line.doubtful
    assert [match.claim.tag for match in doubtful.recognised.matches] == [missing]
    named = envelopes.read_envelope(world.desk, counter, [CardLine(line=f"{missing} kit moor")])
    world.done(envelopes.book_envelope(world.desk, named))
    assert world.claim(missing).owner_id == world.people["Ada"]
