"""The ship round: participants with a card here that can go to them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.names import name_order
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.items import Parked, PersonToShip

EXPIRES_SOON_DAYS = 14
"""From so many days before it expires a claim card to be given is named on Today; our choice, no source."""


def can_go_out(claim: Claim) -> bool:
    """Whether a participant's card, or the claim card meant for them, is here to be sent."""
    return claim.owner_kind == "person" and (
        claim.state == "in_hand" or (claim.state == "pulled" and claim.plan == "give")
    )


def soonest_to_give(claims: Iterable[Claim], parties: Parties, now: datetime) -> tuple[int, int | None]:
    """How many claim cards to be given expire soon or have expired, and the fewest days that are left of one."""
    left = (clocks.days_to_expiry(claim, parties.maker_of(claim), now) for claim in claims if can_go_out(claim))
    soon = [days for days in left if days is not None and days <= EXPIRES_SOON_DAYS]
    return len(soon), min(soon, default=None)


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
