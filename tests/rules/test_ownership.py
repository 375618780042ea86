"""Who owns what comes out, in every format."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.break_facts import BreakFacts, BreakFormat, Spot
from breakdesk.rules.claim import HOUSE_PARTY, Event
from breakdesk.rules.names import folded, name_parts, surname_letters
from breakdesk.rules.ownership import NO_TEAM, Owner, Pull, owner_of
from breakdesk.rules.story import fold

ANA, BEN, CAL = 11, 12, 13


def a_break(format_: BreakFormat, *spots: tuple[str, tuple[int, ...]], products: tuple[int, ...] = (1,)) -> BreakFacts:
    """A break whose spots hold what stands before the owners, parted by semicolons."""
    return BreakFacts(
        id=1,
        name="A night",
        format=format_,
        product_ids=products,
        spots=tuple(
            Spot(id=place, product_id=None, holds=tuple(filter(None, holds.split(";"))), owners=owners)
            for place, (holds, owners) in enumerate(spots, start=1)
        ),
        starts_at=datetime(2026, 6, 15, 18, tzinfo=UTC),
    )


TEAMS = a_break(
    "team",
    ("Marsh Herons;Tin Owls", (ANA,)),
    ("Dune Foxes", (BEN,)),
    ("Glass Otters", (ANA, CAL)),
    ("Salt Wolves", ()),
)


def words(pull: Pull, facts: BreakFacts | None) -> list[str]:
    """The doubts' words."""
    return [doubt.word for doubt in owner_of(pull, facts).doubts]


@pytest.mark.parametrize(
    ("teams", "owner"),
    [
        (("Marsh Herons",), Owner.person(ANA)),
        (("TIN  OWLS",), Owner.person(ANA)),
        (("Herons",), Owner.person(ANA)),
        (("Glass Otters",), Owner.several([ANA, CAL])),
        (("Marsh Herons", "Dune Foxes"), Owner.several([BEN, ANA])),
        (("Marsh Herons", "Tin Owls"), Owner.person(ANA)),
        (("Salt Wolves",), Owner.house()),
        (("Dune Foxes", "Salt Wolves"), Owner.several([BEN], house_too=True)),
        (("Marble Terns",), Owner.house()),
        (("Dune Foxes", "Marble Terns"), Owner.several([BEN], house_too=True)),
        ((NO_TEAM,), Owner.house()),
    ],
)
def test_the_printed_team_decides_in_a_team_break(teams: tuple[str, ...], owner: Owner) -> None:
    assert owner_of(Pull(subjects=("Kai Marlowe",), teams=teams), TEAMS).owner == owner


def test_an_unsold_spot_is_no_doubt_but_a_team_without_a_spot_is() -> None:
    assert words(Pull(teams=("Salt Wolves",)), TEAMS) == []
    assert words(Pull(teams=("Marble Terns",)), TEAMS) == ["no spot"]


def test_a_card_whose_player_or_team_is_not_known_yet_is_nobodys_yet() -> None:
    unnamed = owner_of(Pull(), TEAMS)
    assert (unnamed.owner, unnamed.doubts) == (Owner.nobody(), ())
    teamless = owner_of(Pull(subjects=("Kai Marlowe",)), TEAMS)
    assert teamless.owner == Owner.nobody()
    assert [doubt.word for doubt in teamless.doubts] == ["team"]


def test_a_spot_can_hold_the_cards_without_a_team() -> None:
    facts = a_break("team", ("Dune Foxes", (BEN,)), ("No team", (CAL,)))
    assert owner_of(Pull(teams=(NO_TEAM,)), facts).owner == Owner.person(CAL)


def test_a_short_team_name_that_fits_two_teams_fits_none() -> None:
    facts = a_break("team", ("Red Otters", (ANA,)), ("Blue Otters", (BEN,)))
    assert owner_of(Pull(teams=("Otters",)), facts).owner == Owner.house()
    assert words(Pull(teams=("Otters",)), facts) == ["no spot"]


@pytest.mark.parametrize(
    ("player", "owner"),
    [
        ("Kai Márlowe", Owner.person(ANA)),
        ("Lou Pender", Owner.person(BEN)),
        ("Lou Pender Jr.", Owner.person(CAL)),
        ("Jo Brandt Jr.", Owner.person(ANA)),
        ("Nobody Known", Owner.house()),
    ],
)
def test_players_are_told_apart_and_a_missing_suffix_is_forgiven(player: str, owner: Owner) -> None:
    facts = a_break("player", ("Kai Marlowe;Jo Brandt", (ANA,)), ("Lou Pender", (BEN,)), ("Lou Pender Jr", (CAL,)))
    assert owner_of(Pull(subjects=(player,)), facts).owner == owner


LETTERS = a_break("letter", ("M", (ANA,)), ("V", (BEN,)), ("A-L", (CAL,)), ("Q;U/X Y", ()), ("Z", (BEN, CAL)))


@pytest.mark.parametrize(
    ("player", "owner", "doubts"),
    [
        ("Kai Marlowe", Owner.person(ANA), []),
        ("Kai Marlowe Jr.", Owner.person(ANA), []),
        ("Lou Pender", Owner.house(), ["no spot"]),
        ("Ruben van der Moor", Owner.person(BEN), ["surname"]),
        ("Moor, Ana", Owner.person(ANA), []),
        ("Ana García López", Owner.person(CAL), []),
        ("Ana Mora López", Owner.person(CAL), ["surname"]),
        ("Jo Quill-Marsh", Owner.house(), []),
        ("C.J. Marsh", Owner.person(ANA), []),
        ("Łukasz Żak", Owner.several([BEN, CAL]), []),
    ],
)
def test_the_surnames_first_letter_decides_in_a_letter_break(player: str, owner: Owner, doubts: list[str]) -> None:
    found = owner_of(Pull(subjects=(player,)), LETTERS)
    assert found.owner == owner
    assert [doubt.word for doubt in found.doubts] == doubts


def test_two_players_of_two_letters_belong_to_several() -> None:
    pull = Pull(subjects=("Kai Marlowe", "Jo Vance"))
    assert owner_of(pull, LETTERS).owner == Owner.several([ANA, BEN])


BOXES = a_break("box", ("Box 1", (ANA,)), ("2;3", (BEN,)), ("4-6", (CAL,)), ("7", ()))


@pytest.mark.parametrize(
    ("box", "owner"),
    [
        (1, Owner.person(ANA)),
        (3, Owner.person(BEN)),
        (5, Owner.person(CAL)),
        (7, Owner.house()),
        (8, Owner.house()),
        (None, Owner.nobody()),
    ],
)
def test_the_box_decides_in_a_box_break(box: int | None, owner: Owner) -> None:
    assert owner_of(Pull(box=box), BOXES).owner == owner


def test_a_missing_box_number_is_asked_for() -> None:
    assert words(Pull(), BOXES) == ["box"]


DIGITS = a_break("serial", ("0;1", (ANA,)), ("2-5", (BEN,)), ("6", ()), ("7", (ANA, CAL)))


@pytest.mark.parametrize(
    ("serial", "owner"),
    [
        (10, Owner.person(ANA)),
        (121, Owner.person(ANA)),
        (5, Owner.person(BEN)),
        (66, Owner.house()),
        (7, Owner.several([ANA, CAL])),
        (8, Owner.house()),
        (None, Owner.nobody()),
    ],
)
def test_the_serials_last_digit_decides(serial: int | None, owner: Owner) -> None:
    assert owner_of(Pull(serial=serial, numbered_to=150), DIGITS).owner == owner


def test_a_serial_that_comes_with_the_card_is_no_doubt_and_a_one_of_one_need_not_arrive() -> None:
    assert words(Pull(numbered_to=25), DIGITS) == []
    assert owner_of(Pull(numbered_to=1), DIGITS).owner == Owner.person(ANA)


def test_in_a_hit_draft_the_operator_names_the_owner() -> None:
    facts = a_break("hit_draft", ("1", (ANA,)), ("2", (BEN,)))
    assert owner_of(Pull(named=(CAL,)), facts).owner == Owner.person(CAL)
    assert owner_of(Pull(pick=2), facts).owner == Owner.person(BEN)
    assert owner_of(Pull(), facts).owner == Owner.nobody()
    assert words(Pull(), facts) == ["owner"]
    assert words(Pull(named=(CAL,)), facts) == []


def test_an_owner_named_against_the_spots_is_taken_and_said() -> None:
    found = owner_of(Pull(teams=("Dune Foxes",), named=(ANA,)), TEAMS)
    assert found.owner == Owner.person(ANA)
    assert [doubt.word for doubt in found.doubts] == ["other owner"]
    assert words(Pull(teams=("Dune Foxes",), named=(BEN,)), TEAMS) == []


def test_a_personal_box_belongs_to_its_one_owner() -> None:
    alone = a_break("personal", ("", (BEN,)))
    assert owner_of(Pull(), alone).owner == Owner.person(BEN)
    many = a_break("personal", ("1", (ANA,)), ("2", (BEN,)))
    assert owner_of(Pull(box=2), many).owner == Owner.person(BEN)
    assert owner_of(Pull(), many).owner == Owner.nobody()
    one_buyer = a_break("personal", ("1", (ANA,)), ("2", (ANA,)))
    assert owner_of(Pull(), one_buyer).owner == Owner.person(ANA)


def test_a_spot_counts_only_for_its_product() -> None:
    facts = BreakFacts(
        id=1,
        name="Mixer",
        format="team",
        product_ids=(1, 2),
        spots=(
            Spot(id=1, product_id=1, holds=("Dune Foxes",), owners=(ANA,)),
            Spot(id=2, product_id=2, holds=("Dune Foxes",), owners=(BEN,)),
            Spot(id=3, product_id=1, holds=("Tin Owls",), owners=(CAL,)),
            Spot(id=4, product_id=2, holds=("Tin Owls",), owners=(CAL,)),
        ),
        starts_at=datetime(2026, 6, 15, 18, tzinfo=UTC),
    )
    assert owner_of(Pull(product_id=2, teams=("Dune Foxes",)), facts).owner == Owner.person(BEN)
    assert owner_of(Pull(teams=("Tin Owls",)), facts).owner == Owner.person(CAL)
    assert owner_of(Pull(teams=("Dune Foxes",)), facts).owner == Owner.nobody()
    assert words(Pull(teams=("Dune Foxes",)), facts) == ["product"]
    assert words(Pull(product_id=3, teams=("Dune Foxes",)), facts)[0] == "product"


def test_without_a_break_the_house_itself_is_owed() -> None:
    assert owner_of(Pull(subjects=("Kai Marlowe",)), None).owner == Owner.house()


def test_the_houses_rule_is_said_for_shared_cards() -> None:
    pull = Pull(teams=("Marsh Herons", "Dune Foxes"))
    assert "random choice" in owner_of(pull, TEAMS, "random").why
    assert "choice with a reason" in owner_of(pull, TEAMS, "reasoned").why


NUMBERS = st.none() | st.integers(0, 10**6)


@settings(max_examples=200, deadline=None)
@given(
    format_=st.sampled_from(["team", "player", "letter", "box", "hit_draft", "serial", "personal"]),
    spots=st.lists(
        st.tuples(st.lists(st.text(max_size=6), max_size=3), st.lists(st.integers(1, 5), max_size=2, unique=True)),
        max_size=6,
    ),
    subjects=st.lists(st.text(max_size=8), max_size=2),
    teams=st.lists(st.text(max_size=6), max_size=2),
    serial=NUMBERS,
    box=NUMBERS,
)
def test_every_pull_has_an_owner_a_reason_and_only_owners_of_the_break(
    format_: BreakFormat,
    spots: list[tuple[list[str], list[int]]],
    subjects: list[str],
    teams: list[str],
    serial: int | None,
    box: int | None,
) -> None:
    facts = a_break(format_, *((";".join(holds), tuple(owners)) for holds, owners in spots))
    found = owner_of(Pull(subjects=tuple(subjects), teams=tuple(teams), serial=serial, box=box), facts)
    owners = {owner for spot in facts.spots for owner in spot.owners}
    assert owners.issuperset(found.owner.ids)
    assert found.why.endswith(".")
    assert found.owner.kind != "several" or len(found.owner.ids) + found.owner.house_too > 1
    assert found.owner.kind != "person" or len(found.owner.ids) == 1


@settings(max_examples=100, deadline=None)
@given(st.permutations(TEAMS.spots), st.permutations(["Dune Foxes", "Glass Otters", "Salt Wolves"]))
def test_the_order_of_spots_and_teams_does_not_matter(spots: list[Spot], teams: list[str]) -> None:
    facts = BreakFacts(id=1, name="", format="team", product_ids=(1,), spots=tuple(spots), starts_at=TEAMS.starts_at)
    assert owner_of(Pull(teams=tuple(teams)), facts).owner == Owner.several([ANA, BEN, CAL], house_too=True)


@settings(max_examples=200, deadline=None)
@given(st.text())
def test_folding_and_surnames_take_any_text(text: str) -> None:
    assert folded(folded(text)) == folded(text)
    parts = name_parts(text)
    assert parts.surname or not folded(text)
    assert len(set(surname_letters(text))) == len(surname_letters(text))


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("ZOË ÅNGSTRÖM-RÉY", "zoe angstrom rey"),
        ("Sam O’Dell", "sam odell"),
        ("Władysław Żak", "wladyslaw zak"),
        ("Straße", "strasse"),
        ("Jr.  C.J.", "jr c j"),
    ],
)
def test_spellings_that_are_one_name(one: str, other: str) -> None:
    assert folded(one) == other


@settings(max_examples=200, deadline=None)
@given(
    spots=st.lists(st.lists(st.integers(1, 4), max_size=3, unique=True), min_size=1, max_size=5),
    printed=st.lists(st.integers(0, 6), min_size=1, max_size=4, unique=True),
)
def test_everybody_with_a_spot_for_a_shared_card_stays_in_its_claim_the_house_too(
    spots: list[list[int]], printed: list[int]
) -> None:
    facts = a_break("team", *((f"Team {place}", tuple(owners)) for place, owners in enumerate(spots)))
    owner = owner_of(Pull(teams=tuple(f"Team {number}" for number in printed)), facts).owner
    pulled = {"tag": "AA-1", "subject": "Kai Marlowe", "pull_day": "2026-06-15", **owner.body()}
    claim = fold(1, [Event("pulled", date(2026, 6, 15), pulled)])
    parties = {key for number in printed for key in (spots[number] if number < len(spots) else []) or [HOUSE_PARTY]}
    assert claim is not None
    if len(parties) > 1:
        assert claim.owner_kind == "several"
        assert set(claim.candidates) == parties
    else:
        assert {claim.owner_id or HOUSE_PARTY} == parties
        assert claim.candidates == ()
