"""Lines in breaks of every format, and spots that are called otherwise than the checklist prints."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breakdesk.rules.break_facts import BreakFacts, BreakFormat, Spot
from breakdesk.rules.entry import Kept, Lexicon, Reading, read
from breakdesk.rules.ownership import Owner


def best_of(line: str, lexicon: Lexicon, kept: Kept | None = None) -> Reading:
    """The best reading on the night's day."""
    return read(line, lexicon, kept, today=date(2026, 6, 15)).best


def with_spots(lexicon: Lexicon, format_: BreakFormat, *holds: str) -> Lexicon:
    """The night's cards in a break whose n-th spot belongs to participant n."""
    assert lexicon.facts is not None
    facts: BreakFacts = replace(
        lexicon.facts,
        format=format_,
        spots=tuple(Spot(id=n, product_id=None, holds=(text,), owners=(n,)) for n, text in enumerate(holds, start=1)),
    )
    cards = [candidate.card for candidate in lexicon.candidates if candidate.card]
    return Lexicon.build(facts, cards, ())


@pytest.mark.parametrize(
    ("format_", "holds", "line", "owner"),
    [
        ("player", ("Jo Brandt", "Kai Marlowe"), "marl", Owner.person(2)),
        ("letter", ("A-L", "M", "N-Z"), "marl", Owner.person(2)),
        ("letter", ("A-L", "M", "N-Z"), "moor", Owner.person(3)),
        ("box", ("1", "2"), "marl b2", Owner.person(2)),
        ("hit_draft", ("1", "2"), "marl pick 2", Owner.person(2)),
        ("serial", ("0-4", "5-9"), "marl 7/10", Owner.person(2)),
        ("serial", ("0-4", "5-9"), "marl /10", Owner.nobody()),
        ("serial", ("0-4", "5-9"), "brandt /1", Owner.person(1)),
        ("personal", ("1", "2"), "marl b2", Owner.person(2)),
        ("team", ("Herons", "Foxes"), "marl", Owner.person(1)),
        ("team", ("Herons", "Foxes"), "her au", Owner.person(1)),
    ],
)
def test_every_format_finds_its_owner(
    lexicon: Lexicon, format_: BreakFormat, holds: tuple[str, ...], line: str, owner: Owner
) -> None:
    best = best_of(line, with_spots(lexicon, format_, *holds))
    assert best.owner.value == owner


def test_a_kept_box_finds_the_owner(lexicon: Lexicon) -> None:
    boxes = with_spots(lexicon, "box", "1", "2")
    assert best_of("marl", boxes, Kept(box=2)).owner.value == Owner.person(2)
    assert [doubt.word for doubt in best_of("marl", boxes).doubts] == ["box"]


def test_a_surname_that_could_count_elsewhere_looks_unsure(lexicon: Lexicon) -> None:
    best = best_of("moor", with_spots(lexicon, "letter", "A-L", "M", "N-Z"))
    assert best.owner.certainty == "unsure"
    assert [doubt.word for doubt in best.doubts] == ["surname"]


def test_a_short_team_name_on_a_spot_is_no_second_team(lexicon: Lexicon) -> None:
    best = best_of("larkin her", with_spots(lexicon, "team", "Herons", "Foxes"))
    assert best.teams.value == ("Herons",)
    assert "which team" not in [doubt.word for doubt in best.doubts]


def test_before_the_checklist_a_players_spot_is_known(lexicon: Lexicon) -> None:
    assert lexicon.facts is not None
    spots = (Spot(id=1, product_id=None, holds=("Pip Larkin",), owners=(7,)),)
    early = Lexicon.build(replace(lexicon.facts, format="player", spots=spots), (), ())
    best = best_of("lark au", early)
    assert (best.subjects.value, best.owner.value) == (("Pip Larkin",), Owner.person(7))
