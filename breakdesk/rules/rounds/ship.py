"""The ship round: participants with a card here that can go to them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from breakdesk.rules.claim import Claim
from breakdesk.rules.names import name_order
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.items import Parked, PersonToShip


def can_go_out(claim: Claim) -> bool:
    """Whether a participant's card, or the claim card meant for them, is here to be sent."""
    return claim.owner_kind == "person" and (
        claim.state == "in_hand" or (claim.state == "pulled" and claim.plan == "give")
    )


def to_ship(claims: Iterable[Claim], parties: Parties, now: datetime, parked: Parked) -> tuple[PersonToShip, ...]:
    """Participants with a card in hand or a claim card to be given."""
    today = parties.house.today(now)
    by_person: dict[int, list[Claim]] = {}
    for claim in claims:
        if can_go_out(claim) and claim.owner_id is not None and not parked.has("ship", claim.owner_id):
            by_person.setdefault(claim.owner_id, []).append(claim)
    people = []
    for person_id, items in by_person.items():
        person = parties.people[person_id]
        confirmed = person.address_is_confirmed(parties.house, today)
        people.append(PersonToShip(person, confirmed, tuple(sorted(items, key=lambda claim: claim.tag))))
    return tuple(sorted(people, key=lambda item: name_order(item.person.name)))
