"""The submit round: pulled claims that the house submits, real dangers first."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.parties import Maker, Parties
from breakdesk.rules.rounds.items import Parked, ToSubmit


def waits_for_choice(claim: Claim, maker: Maker) -> bool:
    """Whether a pulled claim's card had expired at the pull and nobody chose what to do with it."""
    return claim.state == "pulled" and claim.expired_choice != "try" and clocks.expired_at_pull(claim, maker)


def to_submit(claims: Iterable[Claim], parties: Parties, now: datetime, parked: Parked) -> tuple[ToSubmit, ...]:
    """Pulled claims that the house submits: seen on camera first, then the soonest submit-by."""
    items = []
    for claim in claims:
        if claim.state != "pulled" or claim.plan != "submit" or claim.failed_on is not None:
            continue
        maker = parties.maker_of(claim)
        if waits_for_choice(claim, maker) or parked.has("submit", claim.id):
            continue
        due = clocks.submit_by(claim, parties.house, maker)
        items.append(ToSubmit(claim, due, clocks.is_expired(claim, maker, now)))
    far = datetime.max.replace(tzinfo=now.tzinfo)
    items.sort(key=lambda item: (not item.claim.seen_on_camera, item.submit_by or far, item.claim.tag))
    return tuple(items)
