"""A claim passed on by its owner, sold or given away; and offers that nobody answered, settled by the house's rule."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import STATE_WORDS, claim_named, person_named
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.wording import day_in_words
from breakdesk.store import models
from breakdesk.store.claims import read_claims
from breakdesk.store.parties import read_house

HOW_WORDS = {"sold": "sold by the owner before", "given": "given away by the owner before"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Transfer:
    """A participant passes a claim on. `knew_code`: they knew its code, with which anybody can take the card."""

    tag: str
    to: str
    how: str
    knew_code: bool
    reason: str = ""


def transfer(desk: Desk, request: Transfer, key: int | None = None) -> Result:
    """Gives a participant's claim to another one; both are to be told, the new one also that the code was known."""

    def work(a: Act) -> str:
        if request.how not in HOW_WORDS:
            raise refuse(f"{request.how} is not a way to pass a claim on.", "Use sold or given.")
        claim = claim_named(a, request.tag)
        person = person_named(request.to)
        if claim.owner_kind != "person" or claim.owner_id is None:
            raise refuse(f"Claim {claim.tag} is no participant's to pass on.", "Decide whose it is first.")
        if claim.owner_id == person.id:
            raise refuse(f"Claim {claim.tag} is for {person.name} already.")
        if not claim.is_open or claim.state == "shipped":
            raise refuse(f"Claim {claim.tag} is {STATE_WORDS[claim.state]}; it is not passed on any more.")
        before = models.Participant.get_by_id(claim.owner_id).name
        body = {"owner_kind": "person", "owner_id": int(person.id), "transfer": request.how}
        if request.knew_code or claim.seen_on_camera:
            body["knew_code"] = 1
            if claim.state == "pulled":
                a.warnings.append("Who knows the code can take the card: submit it now.")
        a.add_in_order(claim, "owner", body | a.text(request.reason))
        return f"{claim.tag} went from {before} to {person.name}; both are to be told."

    return act(desk, "transfer", work, key)


@dataclass(frozen=True, slots=True)
class UnansweredOffer:
    """An offer whose last day has passed without an answer, and the answer that the rule gives."""

    claim: Claim
    last_day: date
    answer: str
    because: str
    """`wish`: what the participant wants in general; `rule`: the house's term."""


def unanswered_offers(desk: Desk) -> tuple[UnansweredOffer, ...]:
    """Offers of participants' claims past their last day, with what becomes of each; none left to the house alone."""
    house = read_house()
    today = house.today(desk.clock.as_of())
    where = "claim.state = 'offered' AND claim.offer_answered_on IS NULL AND claim.owner_id IS NOT NULL"
    found = []
    for claim in read_claims(desk.database, where):
        last = clocks.reply_by(claim, house)
        if last is None or last >= today or claim.on_hold or claim.offered_on is None:
            continue
        wish = models.Participant.get_by_id(claim.owner_id).wish
        rule = house.terms.on("offer_unanswered", claim.offered_on)
        if wish in ("wait", "take"):
            found.append(UnansweredOffer(claim, last, wish, "wish"))
        elif rule in ("wait", "take"):
            found.append(UnansweredOffer(claim, last, rule, "rule"))
    return tuple(found)


_SAID = {
    "take": "we take the replacement that the maker offers",
    "wait": "we wait for the card that was promised",
}


def settle_unanswered(desk: Desk, key: int | None = None) -> Result:
    """Answers every such offer as the participant's standing wish or the house's rule says, and tells them why."""

    def work(a: Act) -> str:
        offers = unanswered_offers(desk)
        if not offers:
            raise refuse("No offer is past its day without an answer, or the house decides each by itself.")
        for offer in offers:
            why = "you told us before what you want" if offer.because == "wish" else "that is our rule then"
            said = f"You did not answer by {day_in_words(offer.last_day)}, so {_SAID[offer.answer]}: {why}."
            a.add_in_order(offer.claim, "offer_answered", {"answer": offer.answer, "by": offer.because, **a.text(said)})
            a.add_in_order(offer.claim, "noted", {"news": 1, **a.text(said)})
        tags = ", ".join(offer.claim.tag for offer in offers)
        return f"Answered by the rule: {tags}. Pass each on to its maker; the participants are to be told."

    return act(desk, "answer offers by the rule", work, key)
