"""What a participant agreed to, recorded before a debt ends in another way than by the card."""

from __future__ import annotations

from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named, require_state
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import ENDING_THE_HOUSES_DEBT, Claim
from breakdesk.rules.money import parse_money
from breakdesk.rules.parties import House
from breakdesk.rules.story import active
from breakdesk.store import history
from breakdesk.store.claims import claim_with_tag, claims_with_keys
from breakdesk.store.parties import read_house

SELLING = "sell it for them"


def record_consent(desk: Desk, tag: str, to: str, said: str, key: int | None = None) -> Result:
    """A participant agreed to a refund, a credit, another card or a buy-out; `said` is how and where they said so."""

    def work(a: Act) -> str:
        if to not in ENDING_THE_HOUSES_DEBT:
            raise refuse(f"{to} needs no consent here.", f"Use one of: {', '.join(ENDING_THE_HOUSES_DEBT)}.")
        if not said.strip():
            raise refuse("Say how they agreed.", "A few words are enough: where, when, who asked.")
        claim = claim_named(a, tag)
        if not claim.is_open or claim.owner_kind != "person":
            raise refuse(f"Claim {claim.tag} is owed to no participant.", "There is nobody to agree.")
        a.add_in_order(claim, "consent", {"to": to, "person": claim.owner_id, **a.text(said)})
        return f"{claim.tag}: their yes to being {to.replace('_', ' ')} is kept."

    return act(desk, "consent", work, key)


def require_consent(a: Act, claim: Claim, how: str) -> None:
    """Refuses an end that needs the owner's yes and has none. A yes of somebody who owned it before does not count."""
    if _lacks_consent(a.house, claim, how, a.day):
        raise refuse(
            f"The house needs the participant's yes before {claim.tag} is {how.replace('_', ' ')}.",
            "Record the consent first.",
        )


def lacks_consent(desk: Desk, tag: str, how: str) -> bool:
    """Whether the house has still to ask the owner of a claim for their yes to an end."""
    claim_id = claim_with_tag(tag)
    if claim_id is None:
        return False
    (claim,) = claims_with_keys(desk.database, [claim_id])
    house = read_house()
    return _lacks_consent(house, claim, how, house.today(desk.clock.as_of()))


def _lacks_consent(house: House, claim: Claim, how: str, day: date) -> bool:
    needs = how in ENDING_THE_HOUSES_DEBT and claim.owner_kind == "person"
    return needs and house.terms.on("consent_needed", day) == "on" and not has_agreed(claim, how)


def has_agreed(claim: Claim, how: str) -> bool:
    """Whether the present owner of a claim agreed to an end."""
    events = active(history.claim_events([claim.id])[claim.id])
    return any(
        event.kind == "consent" and event.body["to"] == how and event.body.get("person") == claim.owner_id
        for event in events
    )


def keep_and_sell(desk: Desk, tag: str, said: str, key: int | None = None) -> Result:
    """A participant asks the house to keep a card that is here and to sell it for them: nothing goes out meanwhile."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        require_state(claim, "kept and sold", "in_hand")
        if claim.owner_kind != "person":
            raise refuse(f"Claim {claim.tag} is no participant's.", "The house sells its own cards as it likes.")
        if claim.on_hold:
            raise refuse(f"{claim.tag} is on hold already.", "Release it first.")
        if not said.strip():
            raise refuse("Say what was agreed.", "Such as the lowest price and what the house keeps.")
        a.add_in_order(claim, "consent", {"to": SELLING, "person": claim.owner_id, **a.text(said)})
        a.add_in_order(claim, "held")
        return f"{claim.tag} is kept here to be sold for its participant."

    return act(desk, "keep and sell", work, key)


def sold_for_them(desk: Desk, tag: str, amount: str, note: str = "", key: int | None = None) -> Result:
    """A card was sold for its participant; `amount` is what they get, and the debt ends with it."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if not claim.on_hold or not has_agreed(claim, SELLING):
            raise refuse(f"{claim.tag} is not kept to be sold.", "Record first what was agreed.")
        try:
            money = parse_money(amount, a.house.terms.on("currency", a.day))
        except ValueError as error:
            raise refuse(str(error)) from error
        a.add_in_order(claim, "released")
        body = {"how": "bought_out", "amount": money.minor, "currency": money.currency, "fault": "nobody", "news": 1}
        a.add_in_order(claim, "closed", body | a.text(note or "Sold for the participant."))
        return f"{claim.tag} is sold for its participant and closed. Pay what was agreed."

    return act(desk, "sold", work, key)
