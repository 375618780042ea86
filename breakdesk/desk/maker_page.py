"""A maker's claims as one reads them off its status page, and which makers there are to look at."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from breakdesk.desk.ask_messages import HeldAsk, held_asks
from breakdesk.desk.desk import Desk
from breakdesk.rules.claim import Claim
from breakdesk.rules.names import folded
from breakdesk.rules.parties import NO_MAKER
from breakdesk.store import models
from breakdesk.store.claims import read_claims
from breakdesk.store.engine import is_value
from breakdesk.store.parties import read_makers

ORDERS = ("reference", "date", "name")
_KEYS: dict[str, Callable[[Claim], Any]] = {
    "reference": lambda claim: (not claim.reference, claim.reference.casefold(), claim.tag),
    "date": lambda claim: (claim.submitted_on or date.max, claim.reference.casefold(), claim.tag),
    "name": lambda claim: (folded(claim.subject), claim.reference.casefold(), claim.tag),
}


def waiting_claims(desk: Desk, maker_id: int | None, order: str = "reference") -> tuple[Claim, ...]:
    """The claims that a maker has not filled yet, in the order of its page. Raises KeyError for an unknown order."""
    where = f"claim.state IN ('submitted', 'offered') AND {is_value('claim.maker_id', maker_id)}"
    values = [] if maker_id is None else [maker_id]
    return tuple(sorted(read_claims(desk.database, where, values), key=_KEYS[order]))


@dataclass(frozen=True, slots=True)
class MakerToLook:
    """A maker with claims that wait, and the day on which its page was last read."""

    maker_id: int
    name: str
    claims: int
    looked_on: date | None


def makers_to_look(desk: Desk) -> tuple[MakerToLook, ...]:
    """Makers with submitted claims: first those never looked at, then the longest ago."""
    claims, looks = models.Claim, models.Look
    found = []
    for row in models.Maker.select():
        count = claims.select().where(claims.maker == row.id, claims.state == "submitted").count()
        if count:
            last = looks.select().where(looks.maker == row.id).order_by(looks.day.desc()).first()
            found.append(MakerToLook(row.id, row.name, count, None if last is None else last.day))
    return tuple(sorted(found, key=lambda item: (item.looked_on or date.min, folded(item.name))))


@dataclass(frozen=True, slots=True)
class HeldMessage:
    """A held message, and whether it could be sent now."""

    held: HeldAsk
    open_now: bool
    opens_at: datetime | None


def held_messages(desk: Desk) -> tuple[HeldMessage, ...]:
    """Every held message with its maker's office, the oldest first."""
    now, makers = desk.clock.as_of(), read_makers(desk.database)
    found = []
    for held in held_asks(desk):
        maker = NO_MAKER if held.maker_id is None else makers[held.maker_id]
        open_now = maker.is_open(now)
        found.append(HeldMessage(held, open_now, None if open_now else maker.opening_after(now)))
    return tuple(found)
