"""Which claims could need a notice of delay, and when notices were given."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from breakdesk.rules.claim import Claim as Facts
from breakdesk.rules.story import active
from breakdesk.store.claims import read_claims
from breakdesk.store.history import claim_events
from breakdesk.store.known import has_later_facts, known_claims
from breakdesk.store.models import StrictSqlite

_WAITING = (
    "claim.state NOT IN ('closed', 'void', 'shipped') AND claim.owner_id IS NOT NULL AND claim.shipped_on IS NULL"
)


def claims_not_shipped(database: StrictSqlite, day: date) -> list[Facts]:
    """Claims that a participant waits for, nothing shipped by a day of the house."""
    if has_later_facts(database, day):
        return [claim for claim in known_claims(database, day) if claim.owner_id is not None and claim.is_open]
    return list(read_claims(database, _WAITING))


def notices_given(claim_ids: Sequence[int], day: date) -> dict[int, date]:
    """The day of the latest notice about each claim by a day of the house, those taken back left out."""
    given: dict[int, date] = {}
    for claim_id, events in claim_events(claim_ids).items():
        days = [event.day for event in active(events) if event.kind == "delay_notice" and event.day <= day]
        if days:
            given[claim_id] = max(days)
    return given
