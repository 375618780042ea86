"""What belongs to a claim beside itself: the claims that it came from or led to, its evidence, its photos."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from breakdesk.desk.damage import EvidenceView, evidence_from
from breakdesk.desk.desk import Desk
from breakdesk.desk.viewing import ClaimView
from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.evidence import KINDS_WITH_EVIDENCE
from breakdesk.rules.story import active
from breakdesk.store.claims import claims_with_keys


@dataclass(frozen=True, slots=True)
class Link:
    """Another claim and what it has to do with this one, as the beginning of a sentence: "the rest of", its tag."""

    how: str
    claim: Claim


@dataclass(frozen=True, slots=True)
class CardFacts:
    """What the page of a claim says beside the claim's own fields."""

    links: tuple[Link, ...]
    evidence: EvidenceView | None
    """None where the claim's kind needs none."""
    photos: int


def card_facts(desk: Desk, view: ClaimView) -> CardFacts:
    """The links, the evidence and the number of photos of a claim, as far as nothing of it was taken back."""
    claim, events = view.claim, active(view.events)
    named = dict(_named(claim, events))
    others = {claim.id: claim for claim in claims_with_keys(desk.database, sorted(named))}
    maker = view.parties.maker_of(claim)
    return CardFacts(
        links=tuple(Link(how, others[key]) for key, how in named.items() if key in others),
        evidence=evidence_from(claim, maker, events) if claim.kind in KINDS_WITH_EVIDENCE else None,
        photos=sum(event.kind == "photo" for event in events),
    )


def _named(claim: Claim, events: Sequence[Event]) -> Iterator[tuple[int, str]]:
    if claim.split_from is not None:
        yield claim.split_from, "waits on as a part of"
    if claim.linked_to is not None:
        yield claim.linked_to, "is for the damaged card of"
    for event in events:
        if event.kind == "split":
            yield event.body["into"], "what did not come waits on as"
        elif event.kind == "linked":
            yield event.body["to"], "came damaged: another one is claimed as"
