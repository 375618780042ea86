"""Claims written down before their checklist was there, held against it."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.break_facts import Card
from breakdesk.rules.claim import Claim
from breakdesk.rules.entry import Lexicon
from breakdesk.rules.entry.linking import Linking, linkings, what_a_link_says

DAY = date(2026, 6, 15)


def card(
    key: int, subject: str, team: str, variation: str = "", run: int | None = None, features: str = "auto"
) -> Card:
    return Card(
        id=key,
        product_id=1,
        card=f"S-{key}",
        subjects=tuple(subject.split(";")),
        teams=tuple(filter(None, team.split(";"))),
        variation=variation,
        numbered_to=run,
        features=tuple(features.split(";")),
    )


CARDS = (
    card(1, "Kai Marlowe", "Marsh Herons"),
    card(2, "Kai Marlowe", "Marsh Herons", "Gold", 10),
    card(3, "Bram Óster", "River Otters", features="auto;patch"),
    card(4, "Kai Marlowe;Bram Óster", "Marsh Herons;River Otters", "", 25),
    card(5, "Ivo Kest", "Hill Foxes", "Gold", 10),
    card(6, "Ivo Kest", "Hill Foxes", "Gold", 10, "auto;patch"),
)
LEXICON = Lexicon.build(None, CARDS, ())


def a_claim(subject: str, **said: Any) -> Claim:
    return Claim(id=1, tag="AA-1", subject=subject, pull_day=DAY, last_event_on=DAY, **said)


def linked(claim: Claim) -> Linking:
    (found,) = linkings([claim], {one.id: one for one in CARDS}, LEXICON, DAY)
    return found


@pytest.mark.parametrize(
    ("claim", "key"),
    [
        (a_claim("Kai Marlowe"), 1),
        (a_claim("kai marlowe", numbered_to=10), 2),
        (a_claim("Kai Marlowe", numbered_to=10, serial=7, variation="Gold"), 2),
        (a_claim("Bram Oster", features="patch"), 3),
        (a_claim("Bram Oster;Kai Marlowe"), 4),
        (a_claim("Kai Marlowe;Bram Oster", team="River Otters;Marsh Herons"), 4),
    ],
)
def test_what_fits_one_card_is_sure(claim: Claim, key: int) -> None:
    found = linked(claim)
    assert found.sure
    assert found.cards[0].id == key


@pytest.mark.parametrize(
    ("claim", "word"),
    [
        (a_claim("Kai Marlow"), "player"),
        (a_claim("Kai Marlowe", numbered_to=99), "print run"),
        (a_claim("Kai Marlowe", team="River Otters"), "team"),
    ],
)
def test_what_contradicts_the_checklist_is_asked_about(claim: Claim, word: str) -> None:
    found = linked(claim)
    assert found.cards
    assert not found.sure
    assert word in [doubt.word for doubt in found.doubts]


def test_what_is_not_listed_has_no_card() -> None:
    assert linked(a_claim("Una Dellamore")).cards == ()


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=30), st.text(max_size=12), st.none() | st.integers(1, 500), st.text(max_size=12))
def test_any_claim_can_be_read_and_a_link_never_names_an_owner(
    subject: str, variation: str, run: int | None, features: str
) -> None:
    claim = a_claim(subject or "x", variation=variation, numbered_to=run, features=features)
    found = linked(claim)
    assert found.cards or not found.sure
    for one in found.cards:
        said = what_a_link_says(claim, one)
        assert not {"owner_kind", "owner_id", "candidates"} & said.keys()
        assert all(not getattr(claim, name) for name in said.keys() - {"card_id", "subject", "product_id"})
