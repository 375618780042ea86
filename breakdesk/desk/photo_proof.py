"""What a photo is proof of: the packing steps that ask for one, and the piece of evidence that it shows."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Final

from breakdesk.desk.acting import Act
from breakdesk.rules.claim import Claim
from breakdesk.rules.evidence import piece_named, wanted_pieces
from breakdesk.rules.packing_steps import takes_a_photo
from breakdesk.rules.parties import NO_MAKER
from breakdesk.rules.story import active
from breakdesk.store import history, models
from breakdesk.store.parties import read_makers

CONDITION: Final = "condition"
"""What is said of a photo that shows the card as it is here."""


def tick_by_photo(a: Act, claim: Claim, what: str) -> list[int]:
    """Ticks the open steps of a claim's parcel that a photo of its condition does; gives their keys."""
    if what != CONDITION or claim.parcel_id is None:
        return []
    steps = models.ParcelStep
    rows = steps.select().where(steps.parcel == claim.parcel_id, steps.claim_id == claim.id, steps.done_at.is_null())
    ticked = [row.id for row in rows if takes_a_photo(row.name)]
    set_steps(a, ticked, done=True)
    return ticked


def set_steps(a: Act, steps: Sequence[int], *, done: bool) -> None:
    """Ticks steps with the time and initials of an action, or opens them again."""
    table = models.ParcelStep
    changes = {"done_at": a.happened, "who": a.desk.who} if done else {"done_at": None, "who": ""}
    table.update(**changes).where(table.id.in_(list(steps) or [0])).execute()


def evidence_by_photo(a: Act, claim: Claim, what: str) -> str:
    """Records the piece of evidence that a photo shows, where the maker wants one so named; gives that piece."""
    maker = read_makers(a.desk.database).get(claim.maker_id or 0, NO_MAKER)
    piece = piece_named(what, wanted_pieces(claim, maker))
    if piece is not None:
        a.add_in_order(claim, "evidence", {"what": piece, "got": 1})
    return piece or ""


def photographed(claim_ids: Sequence[int]) -> dict[int, tuple[datetime, str]]:
    """When and by whom each of some cards was last photographed since it came here; others are left out."""
    latest: dict[int, int] = {}
    for claim_id, events in history.claim_events(claim_ids).items():
        for event in active(events):
            if event.kind == "in_hand" and event.body.get("again"):
                latest.pop(claim_id, None)
            elif event.kind == "photo" and event.body.get("what") == CONDITION and event.action is not None:
                latest[claim_id] = event.action
    table = models.Action
    rows = {row.key: row for row in table.select().where(table.key.in_(sorted(set(latest.values())) or [0]))}
    return {claim_id: (rows[key].recorded_at, rows[key].who) for claim_id, key in latest.items()}
