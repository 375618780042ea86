"""Who owns what comes out of a break, in every format, with the reason as a sentence and every doubt said aloud."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from breakdesk.rules.break_facts import BreakFacts, Spot
from breakdesk.rules.claim import HOUSE_PARTY, OwnerKind
from breakdesk.rules.names import folded, surname_letters
from breakdesk.rules.spot_holdings import holds_letter, holds_number, holds_player, holds_team, numbers_in

SharedRule = Literal["random", "reasoned"]

NO_TEAM = "no team"
"""What a line or a checklist says, and a spot may hold, for a card that prints no team."""


@dataclass(frozen=True, slots=True)
class Owner:
    """Whom a card is for.

    `several` waits for the house's rule between `ids` (sorted; with `house_too` the house is one of the parties);
    `nobody` means nobody yet: until the card arrives, the player is named, or the operator says who.
    """

    kind: OwnerKind
    ids: tuple[int, ...] = ()
    house_too: bool = False

    @property
    def candidates(self) -> tuple[int, ...]:
        """Those between whom a shared card is settled, as its claim names them: the house among them by its key."""
        if self.kind != "several":
            return ()
        return (HOUSE_PARTY, *self.ids) if self.house_too else self.ids

    def body(self) -> dict[str, Any]:
        """The owner as an event of a claim says it."""
        said: dict[str, Any] = {"owner_kind": self.kind}
        if self.kind == "person":
            said["owner_id"] = self.ids[0]
        if self.candidates:
            said["candidates"] = list(self.candidates)
        return said

    @classmethod
    def person(cls, participant_id: int) -> Owner:
        """One participant."""
        return cls("person", (participant_id,))

    @classmethod
    def several(cls, participant_ids: Iterable[int], *, house_too: bool = False) -> Owner:
        """Participants between whom the house's rule decides; what is not several becomes what it is."""
        ids = tuple(sorted(set(participant_ids)))
        if not ids:
            return cls.house()
        return cls.person(ids[0]) if len(ids) == 1 and not house_too else cls("several", ids, house_too)

    @classmethod
    def nobody(cls) -> Owner:
        """Nobody yet."""
        return cls("nobody")

    @classmethod
    def house(cls) -> Owner:
        """The house itself."""
        return cls("house")


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something a person should see before saving: one visible word, and a sentence that explains it."""

    word: str
    sentence: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """What is known of a card as it comes out; an empty field is not known (yet).

    `teams` are the teams printed on the card. `named` are the participants the operator named as owners, `pick` the
    pick number of a hit draft.
    """

    product_id: int | None = None
    subjects: tuple[str, ...] = ()
    teams: tuple[str, ...] = ()
    numbered_to: int | None = None
    serial: int | None = None
    box: int | None = None
    pick: int | None = None
    named: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Ownership:
    """An owner, why, and what is doubtful about it."""

    owner: Owner
    why: str
    doubts: tuple[Doubt, ...] = ()


def owner_of(pull: Pull, facts: BreakFacts | None, shared: SharedRule = "random") -> Ownership:
    """Whom the pulled card belongs to.

    An owner named by the operator counts first. Otherwise the break's format decides from the spots that were bought
    for the card's product; the card's printed team counts, never the team a player is with today. An unsold spot is the
    house's; what no spot covers is the house's, too, with a doubt. `shared` only words what happens to a card
    of several owners: it stays `several` until the house's rule has been applied.
    """
    if pull.named:
        return _named(pull, facts, shared)
    if facts is None:
        return Ownership(Owner.house(), "No break is running, so the card is the house's.")
    return _by_format(pull, facts, shared)


def _named(pull: Pull, facts: BreakFacts | None, shared: SharedRule) -> Ownership:
    owner = Owner.several(pull.named)
    if facts is None or facts.format == "hit_draft":
        return Ownership(owner, "The operator named the owner.")
    by_spots = _by_format(pull, facts, shared).owner
    if by_spots in (owner, Owner.nobody()):
        return Ownership(owner, "The operator named the owner.")
    doubt = Doubt("other owner", "The spots of this break give the card to somebody else.")
    return Ownership(owner, "The operator named the owner, against the spots.", (doubt,))


def _by_format(pull: Pull, facts: BreakFacts, shared: SharedRule) -> Ownership:
    products = sorted({spot.product_id for spot in facts.spots if spot.product_id is not None})
    if pull.product_id is None and len(products) > 1:
        return _product_unknown(pull, facts, products, shared)
    spots = [spot for spot in facts.spots if pull.product_id is None or spot.product_id in (None, pull.product_id)]
    found = _in_format(pull, facts, spots, shared)
    if pull.product_id is None or not facts.product_ids or pull.product_id in facts.product_ids:
        return found
    doubt = Doubt("product", "This product is not part of the break.")
    return replace(found, doubts=(doubt, *found.doubts))


def _product_unknown(pull: Pull, facts: BreakFacts, products: Sequence[int], shared: SharedRule) -> Ownership:
    answers = [_by_format(replace(pull, product_id=product_id), facts, shared) for product_id in products]
    if len({answer.owner for answer in answers}) == 1:
        return answers[0]
    doubt = Doubt("product", "The break has several products with different owners: say which one this card is from.")
    return Ownership(Owner.nobody(), "The card's product has not been said yet.", (doubt,))


def _in_format(pull: Pull, facts: BreakFacts, spots: Sequence[Spot], shared: SharedRule) -> Ownership:
    match facts.format:
        case "team":
            return _by_team(pull, spots, shared)
        case "player":
            return _by_player(pull, spots, shared)
        case "letter":
            return _by_letter(pull, spots, shared)
        case "box":
            return _by_box(pull, spots, shared)
        case "hit_draft":
            return _by_pick(pull, spots, shared)
        case "serial":
            return _by_serial(pull, spots, shared)
        case "personal":
            return _by_personal_box(pull, spots, shared)


@dataclass(frozen=True, slots=True)
class _Part:
    """One thing that the card counts under (a team, a letter, a digit) and the spots that hold it."""

    words: str
    spots: tuple[Spot, ...]


def _by_team(pull: Pull, spots: Sequence[Spot], shared: SharedRule) -> Ownership:
    if not pull.teams:
        if not pull.subjects:
            return _waiting("The player has not been named yet.")
        doubt = Doubt("team", f'No team is known for this card: add the team, or "{NO_TEAM}" if it prints none.')
        return _waiting("The card's team is not known yet.", doubt)
    return _settled([_Part(_team_words(team), holds_team(spots, team)) for team in pull.teams], shared)


def _team_words(team: str) -> str:
    return "cards without a team" if folded(team) == NO_TEAM else team


def _by_player(pull: Pull, spots: Sequence[Spot], shared: SharedRule) -> Ownership:
    if not pull.subjects:
        return _waiting("The player has not been named yet.")
    return _settled([_Part(subject, holds_player(spots, subject)) for subject in pull.subjects], shared)


def _by_letter(pull: Pull, spots: Sequence[Spot], shared: SharedRule) -> Ownership:
    if not pull.subjects:
        return _waiting("The player has not been named yet.")
    parts: list[_Part] = []
    doubts: list[Doubt] = []
    for subject in pull.subjects:
        letters = surname_letters(subject)
        if not letters:
            return _waiting("The name has no letter to go by.", Doubt("surname", f"{subject} has no surname letter."))
        first, *others = ((letter, holds_letter(spots, letter)) for letter in letters)
        parts.append(_Part(f"the letter {first[0].upper()} of {subject}", first[1]))
        doubts.extend(
            Doubt("surname", f"{subject} counts under {first[0].upper()}; {letter.upper()} would be another owner's.")
            for letter, holding in others
            if _parties(holding) != _parties(first[1])
        )
    found = _settled(parts, shared)
    return replace(found, doubts=(*found.doubts, *doubts))


def _by_box(pull: Pull, spots: Sequence[Spot], shared: SharedRule) -> Ownership:
    if pull.box is None:
        return _waiting("The box is not known yet.", Doubt("box", "In this break the box decides: say its number."))
    return _settled([_Part(f"box {pull.box}", holds_number(spots, pull.box))], shared)


def _by_pick(pull: Pull, spots: Sequence[Spot], shared: SharedRule) -> Ownership:
    if pull.pick is None:
        doubt = Doubt(
            "owner", "In a hit draft the operator names the owner of each hit: add a handle or a pick number."
        )
        return _waiting("The owner of this hit has not been named yet.", doubt)
    return _settled([_Part(f"pick {pull.pick}", holds_number(spots, pull.pick))], shared)


def _by_serial(pull: Pull, spots: Sequence[Spot], shared: SharedRule) -> Ownership:
    # A print run of one has only one serial, so that card need not arrive first.
    serial = 1 if pull.serial is None and pull.numbered_to == 1 else pull.serial
    if serial is None:
        return _waiting("The owner is known when the card arrives and shows its serial number.")
    digit = serial % 10
    return _settled([_Part(f"the last digit {digit} of the serial", holds_number(spots, digit))], shared)


def _by_personal_box(pull: Pull, spots: Sequence[Spot], shared: SharedRule) -> Ownership:
    numbered = [spot for spot in spots if any(numbers_in(text) for text in spot.holds)]
    if not numbered or len({frozenset(_parties([spot])) for spot in spots}) == 1:
        return _settled([_Part("everything in this personal box", tuple(spots))], shared)
    if pull.box is None:
        doubt = Doubt("box", "This break has personal boxes of several people: say the box number.")
        return _waiting("The box is not known yet.", doubt)
    return _settled([_Part(f"personal box {pull.box}", holds_number(numbered, pull.box))], shared)


def _waiting(why: str, *doubts: Doubt) -> Ownership:
    return Ownership(Owner.nobody(), why, doubts)


_HOUSE_PARTY = None


def _parties(spots: Iterable[Spot]) -> frozenset[int | None]:
    """The participants of some spots; an unsold spot, and no spot at all, stand for the house as None."""
    ids = {owner for spot in spots for owner in (spot.owners or (_HOUSE_PARTY,))}
    return frozenset(ids or {_HOUSE_PARTY})


def _settled(parts: Sequence[_Part], shared: SharedRule) -> Ownership:
    """The owner by the spots that hold the card's parts; every party to one of them is a party to the card."""
    parties = _parties(spot for part in parts for spot in part.spots)
    if any(not part.spots for part in parts):
        parties |= {_HOUSE_PARTY}
    ids = [party for party in parties if party is not None]
    owner = Owner.several(ids, house_too=_HOUSE_PARTY in parties)
    doubts = tuple(
        Doubt("no spot", f"This break has no spot for {part.words}, so the house owns it.")
        for part in parts
        if not part.spots
    )
    return Ownership(owner, _reason(parts, owner, shared), doubts)


def _reason(parts: Sequence[_Part], owner: Owner, shared: SharedRule) -> str:
    # A name may end with the point of its Jr.
    words = " and ".join(dict.fromkeys(part.words for part in parts)).rstrip(".")
    match owner.kind:
        case "house":
            covered = all(part.spots for part in parts)
            return f"The spot for {words} was not sold." if covered else f"No spot holds {words}."
        case "several":
            choice = "a random choice" if shared == "random" else "a choice with a reason"
            return f"Several parties share {words}; the house settles it by {choice}."
        case _:
            return f"The spot holds {words}."
