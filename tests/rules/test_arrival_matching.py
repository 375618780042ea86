"""Which claim an arrived card can be, and what is odd about it."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.arrival_matching import Seen, fit_of, what_is_odd
from breakdesk.rules.claim import Claim
from breakdesk.rules.names import folded

DAY = date(2026, 3, 2)
RULE = settings(max_examples=100, deadline=None)


def claim(**facts: Any) -> Claim:
    given_facts = {"state": "submitted", "subject": "Kit Moor", "owner_kind": "person", "owner_id": 1} | facts
    return Claim(id=1, tag="K1", pull_day=DAY, last_event_on=DAY, **given_facts)


def seen(line: str = "kit moor", **facts: Any) -> Seen:
    return Seen(words=tuple(folded(line).split()), **facts)


def score(card: Seen, **facts: Any) -> float:
    fit = fit_of(card, claim(**facts))
    assert fit is not None
    return fit.score


def test_a_card_that_shows_nothing_of_the_name_is_no_match() -> None:
    assert fit_of(seen("gold /25"), claim()) is None
    assert fit_of(seen("moor"), claim()) is not None


@pytest.mark.parametrize(
    ("card", "right", "wrong"),
    [
        (seen(numbered_to=25), {"numbered_to": 25}, {"numbered_to": 99}),
        (seen(variation="Gold"), {"variation": "Gold"}, {"variation": "Blue"}),
        (seen(), {}, {"variation": "Blue"}),
        (seen(serial=7, numbered_to=25), {"serial": 7, "numbered_to": 25}, {"serial": 8, "numbered_to": 25}),
        (seen(product_id=1), {"product_id": 1}, {"product_id": 2}),
        (seen(maker_id=1), {"maker_id": 1}, {"maker_id": 2}),
        (seen("kit moor falcons"), {"team": "Falcons"}, {"team": "Herons"}),
        (seen(features=("ink",)), {"features": "Ink"}, {"features": ""}),
        (seen("kit moor"), {}, {"subject": "Kit Moorland Ashby"}),
    ],
)
def test_what_fits_comes_before_what_does_not(card: Seen, right: dict[str, Any], wrong: dict[str, Any]) -> None:
    assert score(card, **right) > score(card, **wrong)


def test_what_speaks_against_a_claim_is_named() -> None:
    fit = fit_of(seen(variation="Gold", numbered_to=25, serial=3), claim(variation="Blue", numbered_to=99, serial=4))
    assert fit is not None
    assert fit.differs == (
        "serial 4 was written down, not 3",
        "/99 was promised, not /25",
        "Blue was promised, not Gold",
    )


@RULE
@given(st.integers(-3, 60), st.integers(1, 50))
def test_a_serial_is_odd_exactly_outside_its_run(serial: int, run: int) -> None:
    odd = what_is_odd(claim(numbered_to=run), seen(serial=serial))
    assert bool(odd) == (not 1 <= serial <= run)


@pytest.mark.parametrize(
    ("facts", "said"),
    [
        ({"state": "pulled"}, "never submitted"),
        ({"state": "refused"}, "had refused"),
        ({"state": "offered"}, "nobody has answered"),
        ({"state": "in_hand", "in_hand_on": DAY}, "came on 2 March 2026 already"),
        ({"state": "closed", "closed_on": DAY}, "nobody waits for it"),
        ({"settled_how": "bought_out", "settled_on": DAY, "owner_kind": "house"}, "the house's now"),
        ({"ship_to": "participant"}, "straight to the participant"),
        ({"subject": "Kit Moor;Ana Reed"}, "Ana Reed is not on it"),
    ],
)
def test_each_odd_case_is_named(facts: dict[str, Any], said: str) -> None:
    assert any(said in sentence for sentence in what_is_odd(claim(**facts), seen()))


def test_a_replacement_is_told_apart_by_whether_it_was_offered() -> None:
    differs = ("Blue was promised, not Gold",)
    assert "nobody offered" in what_is_odd(claim(), seen(), differs)[0]
    assert what_is_odd(claim(offer_answer="take"), seen(), differs)[0].startswith("A replacement: Blue")


def test_nothing_is_odd_about_what_was_promised() -> None:
    assert what_is_odd(claim(numbered_to=25), seen(serial=25, numbered_to=25)) == ()
