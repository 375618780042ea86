"""A card that came damaged, or a box short of its promised cards: a claim of its own with its evidence."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.creating import create_claim, pulled_body
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named, require_state
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.evidence import KINDS_WITH_EVIDENCE, file_until, missing_pieces, piece_named, wanted_pieces
from breakdesk.rules.parties import NO_MAKER, Maker
from breakdesk.rules.story import active
from breakdesk.rules.tracking import look_at
from breakdesk.store import history
from breakdesk.store.claims import claim_with_tag, claims_with_keys
from breakdesk.store.parties import read_makers


def came_damaged(desk: Desk, tag: str, note: str = "", key: int | None = None) -> Result:
    """A card that is here is damaged: the house claims another one from the maker, for the same owner."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        require_state(claim, "claimed as damaged", "in_hand")
        opened = open_damage(a, claim, note)
        return f"{claim.tag} came damaged: {opened} is the claim for another one. Send its evidence to the maker."

    return act(desk, "came damaged", work, key)


def open_damage(a: Act, claim: Claim, note: str) -> str:
    """Opens a damage claim for a card that came, inside an action; returns its tag.

    What was owed goes over to the new claim, with clocks of its own, so that one card is never owed twice. The
    damaged card itself stays linked: it is posted back, or given after all.
    """
    if claim.parcel_id is not None:
        raise refuse(f"{claim.tag} is in a parcel already.", "Take it out first: undo the packing.")
    body = pulled_body(claim) | {"kind": "damage", "plan": "submit", "linked_to": claim.id, "quiet": 1}
    body.pop("expires_on", None)
    body |= {name: said for name in ("value", "currency", "serial") if (said := getattr(claim, name)) is not None}
    damage_id, tag = create_claim(a, body)
    a.add(damage_id, "noted", {"news": 1, **a.text(note or "It came damaged; the maker is asked for another one.")})
    a.add_in_order(claim, "linked", {"to": damage_id})
    a.add_in_order(claim, "closed", {"how": "replaced", "fault": "maker", "by_claim": damage_id})
    return tag


@dataclass(frozen=True, slots=True, kw_only=True)
class EvidenceView:
    """What a maker wants to see for a claim of damage or of a missing hit, and what is here.

    `until` is the last day of the maker's window, None where none was settled.
    """

    claim: Claim
    wanted: tuple[str, ...]
    got: tuple[str, ...]
    missing: tuple[str, ...]
    until: date | None
    photos: int
    sent_back_on: date | None
    sent_back_tracking: str
    came_back_on: date | None
    is_away: bool
    """Whether the damaged card was posted back and has not come back since."""


def evidence_view(desk: Desk, tag: str) -> EvidenceView | None:
    """The evidence of a claim; None where there is no such claim or its kind needs none."""
    claim_id = claim_with_tag(tag)
    if claim_id is None:
        return None
    (claim,) = claims_with_keys(desk.database, [claim_id])
    if claim.kind not in KINDS_WITH_EVIDENCE:
        return None
    maker = read_makers(desk.database).get(claim.maker_id or 0, NO_MAKER)
    return evidence_from(claim, maker, active(history.claim_events([claim_id])[claim_id]))


def evidence_from(claim: Claim, maker: Maker, events: Sequence[Event]) -> EvidenceView:
    """The evidence of a claim as those of its events say that count."""
    here: dict[str, str] = {}
    for event in events:
        if event.kind == "evidence":
            here.pop(event.body["what"].casefold(), None)
            if event.body.get("got", 1):
                here[event.body["what"].casefold()] = event.body["what"]
    wanted = wanted_pieces(claim, maker)
    sent = next((event for event in reversed(events) if event.kind == "sent_back"), None)
    came = next((event for event in reversed(events) if event.kind == "came_back"), None)
    return EvidenceView(
        claim=claim,
        wanted=wanted,
        got=tuple(here.values()),
        missing=missing_pieces(wanted, here.values()),
        until=file_until(claim, maker),
        photos=sum(event.kind == "photo" for event in events),
        sent_back_on=sent.day if sent else None,
        sent_back_tracking=sent.body.get("tracking", "") if sent else "",
        came_back_on=came.day if came else None,
        is_away=_is_away(events),
    )


def _is_away(events: Sequence[Event]) -> bool:
    return [event.kind for event in events if event.kind in ("sent_back", "came_back")][-1:] == ["sent_back"]


def gather_evidence(desk: Desk, tag: str, piece: str, *, got: bool = True, key: int | None = None) -> Result:
    """A piece of evidence is here, or is missing again. Named as the maker names it, or by its beginning."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if claim.kind not in KINDS_WITH_EVIDENCE:
            raise refuse(f"{claim.tag} is no claim of damage or of a missing hit.", "It needs no evidence.")
        maker = read_makers(a.desk.database).get(claim.maker_id or 0, NO_MAKER)
        wanted = wanted_pieces(claim, maker)
        name = piece_named(piece, wanted)
        if name is None:
            raise refuse(
                f"“{piece.strip()}” is not one piece of evidence here.", f"The maker wants: {', '.join(wanted)}."
            )
        a.add_in_order(claim, "evidence", {"what": name, "got": int(got)})
        view = evidence_after(a, claim, maker)
        rest = f" Still missing: {', '.join(view.missing)}." if view.missing else " Everything is here."
        return f"{claim.tag}: {name} is {'here' if got else 'missing again'}.{rest}"

    return act(desk, "evidence", work, key)


def evidence_after(a: Act, claim: Claim, maker: Maker) -> EvidenceView:
    """The evidence with what this action already did."""
    stored = [] if claim.id in a.created else history.claim_events([claim.id])[claim.id]
    return evidence_from(claim, maker, active([*stored, *a.new_events.get(claim.id, [])]))


def send_back(desk: Desk, tag: str, tracking: str = "", note: str = "", key: int | None = None) -> Result:
    """The damaged card was posted back to the maker, with its outbound tracking number."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if claim.kind != "damage" or not claim.is_open:
            raise refuse(f"{claim.tag} is no open claim of damage.", "Name the claim for the other card.")
        number = " ".join(tracking.split())
        reading = look_at(number) if number else None
        if reading is not None and reading.doubt:
            a.warnings.append(reading.doubt)
        a.add_in_order(claim, "sent_back", {"tracking": number, **a.text(note)})
        return f"{claim.tag}: the damaged card is on its way back to the maker."

    return act(desk, "send back", work, key)


def came_back(desk: Desk, tag: str, note: str = "", key: int | None = None) -> Result:
    """The damaged card came back from the maker."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if not _is_away(active(history.claim_events([claim.id])[claim.id])):
            raise refuse(f"No card of {claim.tag} was posted back.", "Record first that it was sent.")
        a.add_in_order(claim, "came_back", a.text(note))
        return f"{claim.tag}: the damaged card came back."

    return act(desk, "came back", work, key)
