"""The rows that go over when two records of one person become one, and that go back when they are parted."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from breakdesk.rules.claim import Claim
from breakdesk.store.claims import read_claims
from breakdesk.store.models import Address, FollowUp, Parcel, Recipient, SpotHolder, StrictSqlite, Telling

OWNED: Final[dict[str, Any]] = {
    "telling": Telling,
    "follow_up": FollowUp,
    "spot_holder": SpotHolder,
    "parcel": Parcel,
    "recipient": Recipient,
}
"""Tables whose rows go with a merge, by the name under which the history keeps the keys of those rows."""
ADDRESS: Final = "address"


def claims_naming(database: StrictSqlite, person_id: int) -> list[Claim]:
    """Claims that name a participant as their owner, their first one or one of several, or that have news for them."""
    where = (
        "claim.owner_id = ? OR claim.first_owner_id = ? OR ';' || claim.candidates || ';' LIKE ? OR claim.id IN "
        "(SELECT claim_id FROM claim_news WHERE participant_id = ?)"
    )
    found = read_claims(database, where, (person_id, person_id, f"%;{person_id};%", person_id))
    # A claim whose pull was undone is void for good: its history takes nothing more.
    return [claim for claim in found if claim.state != "void"]


def move_rows(name: str, source: int, target: int) -> list[int]:
    """Gives all rows of a table from one participant to another; returns their keys, so that they can go back."""
    table = OWNED[name]
    if table is SpotHolder:
        # Where both bought the same spot together, one line is enough.
        shared = SpotHolder.select(SpotHolder.spot).where(SpotHolder.participant == target)
        SpotHolder.delete().where(SpotHolder.participant == source, SpotHolder.spot.in_(shared)).execute()
    keys = [int(row.id) for row in table.select(table.id).where(table.participant == source).order_by(table.id)]
    table.update(participant=target).where(table.participant == source).execute()
    return keys


def give_rows_back(name: str, keys: Sequence[int], source: int, target: int) -> None:
    """Gives those of some rows back to `source` that still belong to `target`."""
    table = Address if name == ADDRESS else OWNED[name]
    table.update(participant=source).where(table.participant == target, table.id.in_(list(keys) or [0])).execute()
