"""Makers that send straight to the participant: submitted, shipped by the maker, confirmed; no arrival here."""

from __future__ import annotations

from typing import Final

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named, require_state
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import ANSWER_DAYS, Claim
from breakdesk.rules.tracking import look_at
from breakdesk.store.claims import read_claims

PLACES: Final = ("house", "participant")


def set_ship_to(desk: Desk, tag: str, place: str, key: int | None = None) -> Result:
    """Corrects where the maker sends a card: to the house, or straight to the participant."""

    def work(a: Act) -> str:
        if place not in PLACES:
            raise refuse(f"{place} is not a place to send a card to.", f"Use one of: {', '.join(PLACES)}.")
        claim = claim_named(a, tag)
        require_state(claim, "sent elsewhere", "submitted", "offered")
        a.add_in_order(claim, "corrected", {"ship_to": place})
        return f"{claim.tag}: the maker sends it to the {place}."

    return act(desk, "correct", work, key)


def maker_shipped(desk: Desk, tag: str, tracking: str = "", note: str = "", key: int | None = None) -> Result:
    """The maker sent a card straight to its participant, who is to be told and asked whether it came."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        require_state(claim, "sent by the maker", "submitted", "offered")
        if claim.ship_to != "participant":
            raise refuse(
                f"{claim.tag} was to be sent to the house.", "Correct that first, or record that the card is here."
            )
        number = " ".join(tracking.split())
        reading = look_at(number) if number else None
        if reading is not None and reading.doubt:
            a.warnings.append(reading.doubt)
        body = {"answer": "on_its_way", "days": ANSWER_DAYS["on_its_way"], "news": 1, **a.text(note)}
        if number:
            body["inbound_tracking"] = number
        a.add_in_order(claim, "answered", body)
        return f"{claim.tag} is on its way from the maker to the participant. Ask them when it should be there."

    return act(desk, "maker shipped", work, key)


def participant_has_it(desk: Desk, tag: str, note: str = "", key: int | None = None) -> Result:
    """The participant confirmed that the maker's parcel came: nothing more is owed."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        require_state(claim, "confirmed by its participant", "submitted", "offered")
        if claim.ship_to != "participant":
            raise refuse(f"{claim.tag} was to be sent to the house.", "Record that the card is here instead.")
        a.add_in_order(claim, "closed", {"how": "delivered", "direct": 1, **a.text(note)})
        return f"{claim.tag} came from the maker and is closed."

    return act(desk, "delivered", work, key)


def going_straight_to(desk: Desk, person_id: int) -> tuple[Claim, ...]:
    """The claims whose cards the maker sends straight to a participant: a new address has to reach the maker, too."""
    where = "claim.owner_id = ? AND claim.ship_to = 'participant' AND claim.state IN ('submitted', 'offered')"
    return tuple(read_claims(desk.database, where, [person_id]))
