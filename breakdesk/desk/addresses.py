"""Where a participant's cards went over time, and what a move concerns."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.desk.desk import Desk
from breakdesk.desk.direct import going_straight_to
from breakdesk.rules.claim import Claim
from breakdesk.store import models


@dataclass(frozen=True, slots=True, kw_only=True)
class KnownAddress:
    """An address as it was given. `is_present` tells the one to which cards go now."""

    text: str
    country: str
    since: date | None
    confirmed_on: date | None
    moved_on: date | None
    is_present: bool


def address_history(person_id: int) -> tuple[KnownAddress, ...]:
    """Every address of a participant, the newest first."""
    table = models.Address
    rows = table.select().where(table.participant == person_id).order_by(table.id.desc())
    return tuple(
        KnownAddress(
            text=row.text,
            country=row.country,
            since=row.since,
            confirmed_on=row.confirmed_on,
            moved_on=row.moved_on,
            is_present=row.ended_at is None,
        )
        for row in rows
    )


@dataclass(frozen=True, slots=True)
class Concerned:
    """What goes to an old address unless somebody is told: cards from the makers, and parcels that are packed."""

    from_makers: tuple[Claim, ...]
    parcels: tuple[int, ...]


def concerned_by_a_move(desk: Desk, person_id: int) -> Concerned:
    """Claims whose makers send straight to the participant, and parcels being packed or on their way."""
    table = models.Parcel
    rows = table.select(table.id).where(
        table.participant == person_id, table.recipient_id.is_null(), table.state.in_(("packing", "shipped"))
    )
    return Concerned(going_straight_to(desk, person_id), tuple(int(row.id) for row in rows.order_by(table.id)))
