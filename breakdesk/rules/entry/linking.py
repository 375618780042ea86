"""Which card of a checklist a claim is that was written down before the checklist was there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from rapidfuzz.distance import OSA

from breakdesk.rules.break_facts import Card
from breakdesk.rules.claim import Claim
from breakdesk.rules.entry.lexicon import Lexicon
from breakdesk.rules.entry.read import read
from breakdesk.rules.names import folded
from breakdesk.rules.ownership import Doubt

_SLIPS, _LETTERS_A_SLIP = 2, 4
_MARKS = str.maketrans(dict.fromkeys('"“”„«»();', " "))


@dataclass(frozen=True, slots=True)
class Linking:
    """A claim with the cards that it may be, the likeliest first; none where the checklist has nothing like it.

    `sure` says that only the first can be meant, and that it contradicts nothing that was written down.
    """

    claim: Claim
    cards: tuple[Card, ...]
    sure: bool
    doubts: tuple[Doubt, ...] = ()


def linkings(claims: Iterable[Claim], cards: Mapping[int, Card], lexicon: Lexicon, today: date) -> Iterator[Linking]:
    """Read each claim anew, as it was written, against the words of a checklist; `cards` are its cards by key."""
    for claim in claims:
        readings = read(line_of(claim), lexicon, today=today)
        best = readings.best
        keys = (reading.card_id.value for reading in (best, *readings.runners_up))
        listed = (cards[key] for key in dict.fromkeys(keys) if key is not None)
        found = tuple(card for card in listed if _may_be_of_the_same_player(claim, card))
        # The reader takes a beginning for a whole name, as a person types on camera. A claim was written down in full.
        differences = _differences(claim, found[0]) if found else ()
        doubted = {doubt.word: doubt for doubt in (*differences, *map(_about_a_claim, best.doubts))}
        doubts = tuple(doubted.values())
        certain = {best.card_id.certainty, best.subjects.certainty} == {"sure"}
        sure = bool(found) and found[0].id == best.card_id.value and certain and not doubts
        yield Linking(claim, found, sure, doubts)


def _may_be_of_the_same_player(claim: Claim, card: Card) -> bool:
    """Whether a word of a name is in both, slips forgiven: a card of the same team alone is no card of the claim."""
    listed = {word for subject in card.subjects for word in folded(subject).split()}
    said = {word for subject in _parts(claim.subject) for word in folded(subject).split()}
    return any(
        OSA.distance(word, other, score_cutoff=_SLIPS) <= min(_SLIPS, len(word) // _LETTERS_A_SLIP)
        for word in said
        for other in listed
    )


def _differences(claim: Claim, card: Card) -> Iterator[Doubt]:
    """What a claim and a card say differently; what is not written down differs from nothing."""
    said = (
        ("player", {*map(folded, _parts(claim.subject))}, {*map(folded, card.subjects)}),
        ("team", {*map(folded, _parts(claim.team))}, {*map(folded, card.teams)}),
        ("variation", set(folded(claim.variation).split()), set(folded(card.variation).split())),
        ("print run", {claim.numbered_to} - {None}, {card.numbered_to}),
    )
    for word, own, listed in said:
        if own and own != listed:
            yield Doubt(word, f"The {word} is another one on the checklist.")


def _about_a_claim(doubt: Doubt) -> Doubt:
    sentence = doubt.sentence.replace(" and goes into the note", "").replace("the line says", "the claim says")
    return Doubt(doubt.word, sentence)


def line_of(claim: Claim) -> str:
    """A claim as an entry line: names in quotes, the variation in brackets, so that no word is taken for another."""
    players = " + ".join(f'"{part}"' for part in _parts(claim.subject))
    run = "" if claim.numbered_to is None else f"{'' if claim.serial is None else claim.serial}/{claim.numbered_to}"
    teams = " ".join(f'"{part}"' for part in _parts(claim.team))
    variation = f"({claim.variation.translate(_MARKS)})" if claim.variation.strip() else ""
    return " ".join(filter(None, (players, run, variation, " ".join(_parts(claim.features)), teams)))


def _parts(text: str) -> list[str]:
    parts = (" ".join(part.translate(_MARKS).split()) for part in text.split(";"))
    return [part for part in parts if part]


def what_a_link_says(claim: Claim, card: Card) -> dict[str, Any]:
    """What a claim says of its card once it is linked: the checklist's spelling, and what had not been written down.

    A team, a print run, a variation and features that were written down stay: they were read off the card. Nothing is
    said of the owner.
    """
    known: dict[str, Any] = {
        "team": ";".join(card.teams),
        "variation": card.variation,
        "numbered_to": card.numbered_to,
        "features": ";".join(card.features),
    }
    body = {name: value for name, value in known.items() if value and not getattr(claim, name)}
    subject = ";".join(card.subjects)
    if subject and subject != claim.subject:
        body["subject"] = subject
    if claim.product_id != card.product_id:
        body["product_id"] = card.product_id
    return {"card_id": card.id, **body}
