"""How debts end: delivered, given, refunded and the rest; offers, owners, refusals and mistakes."""

from __future__ import annotations

from dataclasses import dataclass

from breakdesk.desk.acting import Act, act
from breakdesk.desk.consent import require_consent
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import STATE_WORDS, claim_named, person_named, require_state
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import CLOSINGS, ENDING_THE_HOUSES_DEBT, FAULTS, OFFER_ANSWERS, Claim
from breakdesk.rules.money import format_money, parse_money
from breakdesk.store import models
from breakdesk.store.claims import tag_key

CLOSING_WORDS = {
    "delivered": "delivered",
    "given": "given to the participant",
    "refunded": "refunded",
    "credited": "credited",
    "replaced": "replaced by another card",
    "bought_out": "bought out",
    "terms": "closed under the terms of the break",
    "unclaimed": "closed as unclaimed",
    "kept": "kept by the house",
}
BAD_ENDS = ("refunded", "credited", "replaced", "bought_out", "terms", "unclaimed")
PAID_ENDS = ("refunded", "credited", "bought_out")
"""The ends by which money or credit goes to the participant."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Close:
    """A debt ends. Every bad end names whose fault it was, and money says how much."""

    tag: str
    how: str
    amount: str = ""
    fault: str = ""
    reason: str = ""


def close(desk: Desk, request: Close, key: int | None = None) -> Result:
    """Ends what is owed on a claim; where the card is still to come, the claim goes on for the house."""

    def work(a: Act) -> str:
        if request.how not in CLOSINGS:
            raise refuse(f"{request.how} is not a way to close a claim.", f"Use one of: {', '.join(CLOSINGS)}.")
        claim = claim_named(a, request.tag)
        _check_end(claim, request)
        require_consent(a, claim, request.how)
        body: dict[str, object] = {"how": request.how, **a.text(_reason(a, claim, request))}
        if request.amount.strip():
            try:
                money = parse_money(request.amount, a.house.terms.on("currency", a.day))
            except ValueError as error:
                raise refuse(str(error)) from error
            body |= {"amount": money.minor, "currency": money.currency}
        elif request.how in PAID_ENDS:
            a.warnings.append("No amount was named: the year lists this one without an amount.")
        if request.fault:
            body["fault"] = request.fault
        if claim.in_hand_on is not None and request.how in BAD_ENDS:
            body["news"] = 1
        a.add_in_order(claim, "closed", body)
        return _said(a.claim(claim.id), request.how)

    return act(desk, "close", work, key)


def _reason(a: Act, claim: Claim, request: Close) -> str:
    """The reason, and for an end under the terms of the break which version of them was shown when it was pulled."""
    if request.how != "terms":
        return request.reason
    version = a.house.terms.on("break_terms", claim.pull_day)
    if not version:
        a.warnings.append("No terms of the break are settled for the day of the pull: say in the reason which apply.")
        return request.reason
    return f"{request.reason} Terms shown when it was pulled: {version}".strip()


def _check_end(claim: Claim, request: Close) -> None:
    if not claim.is_open:
        raise refuse(f"Claim {claim.tag} is {STATE_WORDS[claim.state]} already.", "Nothing more is owed on it.")
    how = request.how
    if how == "delivered":
        require_state(claim, "closed as delivered", "shipped", "in_hand", "submitted")
    if how == "given":
        require_state(claim, "closed as given", "pulled", "shipped")
    if how == "kept" and claim.owner_kind != "house":
        raise refuse(f"Claim {claim.tag} is a participant's; the house cannot keep it.", "Settle with them first.")
    if how != "kept" and claim.owner_kind == "house" and how in ENDING_THE_HOUSES_DEBT:
        raise refuse(f"Claim {claim.tag} is the house's own: it owes nobody for it.", "Close it as kept.")
    if how in BAD_ENDS and request.fault not in FAULTS:
        raise refuse("A bad end names whose fault it was.", f"Use one of: {', '.join(FAULTS)}.")


def _said(claim: Claim, how: str) -> str:
    words = CLOSING_WORDS[how]
    if claim.is_open:
        return f"{claim.tag} is {words}. The maker still owes the card: it is the house's now and stays in the rounds."
    return f"{claim.tag} is {words}." if words.startswith("closed") else f"{claim.tag} is {words} and closed."


def refuse_claim(desk: Desk, tag: str, reason: str = "", key: int | None = None) -> Result:
    """The maker will not fill the claim."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        require_state(claim, "marked as refused", "pulled", "submitted", "offered")
        a.add_in_order(claim, "refused", a.text(reason))
        return f"{claim.tag} is refused by the maker. Decide how to make it good."

    return act(desk, "refused", work, key)


def void(desk: Desk, tag: str, reason: str, key: int | None = None) -> Result:
    """The claim was entered by mistake; its reason stays in the history."""

    def work(a: Act) -> str:
        if not reason.strip():
            raise refuse("Voiding a claim needs a reason.", "Say in a few words why it was a mistake.")
        claim = claim_named(a, tag)
        if not claim.is_open:
            raise refuse(f"Claim {claim.tag} is {STATE_WORDS[claim.state]} already.")
        a.add_in_order(claim, "void", a.text(reason))
        table = models.ClaimCode
        table.update(digest=None, folded_digest=None).where(table.claim == claim.id).execute()
        return f"{claim.tag} is void."

    return act(desk, "void", work, key)


def answer_offer(desk: Desk, tag: str, choice: str, source: str = "", key: int | None = None) -> Result:
    """What the participant chose about a replacement; it is then to be passed on to the maker."""

    def work(a: Act) -> str:
        if choice not in OFFER_ANSWERS:
            raise refuse(f"{choice} is not an answer to an offer.", f"Use one of: {', '.join(OFFER_ANSWERS)}.")
        claim = claim_named(a, tag)
        require_state(claim, "answered for", "offered")
        a.add_in_order(claim, "offer_answered", {"answer": choice, **a.text(source)})
        return f"{claim.tag}: the answer is {choice}. Pass it on to the maker."

    return act(desk, "answer offer", work, key)


def pass_on_offer(desk: Desk, tag: str, key: int | None = None) -> Result:
    """The answer to an offer was given to the maker: the claim waits for its card again."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        require_state(claim, "passed on", "offered")
        if claim.offer_answer is None:
            raise refuse(f"Nobody has answered the offer on {claim.tag}.", "Record the answer first.")
        a.add_in_order(claim, "offer_passed_on", {"answer": claim.offer_answer})
        return f"{claim.tag}: the maker has the answer; the claim waits for its card."

    return act(desk, "pass on offer", work, key)


def change_owner(desk: Desk, tag: str, to: str, reason: str = "", key: int | None = None) -> Result:
    """Gives a claim to a participant (or `house`): decided between several, corrected, sold or given away."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if not claim.is_open:
            raise refuse(f"Claim {claim.tag} is {STATE_WORDS[claim.state]}; its owner does not change any more.")
        if tag_key(to) == "HOUSE":
            body: dict[str, object] = {"owner_kind": "house"}
            name = a.house.name
        else:
            person = person_named(to)
            body, name = {"owner_kind": "person", "owner_id": int(person.id)}, person.name
        if claim.state == "shipped":
            raise refuse(f"Claim {claim.tag} is on its way.", "Wait until it arrived, or mark it as back in hand.")
        if (claim.owner_kind, claim.owner_id) == (body["owner_kind"], body.get("owner_id")):
            raise refuse(f"Claim {claim.tag} is for {name} already.")
        if claim.owner_id is not None and not reason.strip():
            raise refuse(f"{claim.tag} has an owner already.", "Say why it changes hands.")
        a.add_in_order(claim, "owner", body | a.text(reason))
        return f"{claim.tag} is now for {name}."

    return act(desk, "change owner", work, key)


def amount_words(minor: int | None, currency: str | None) -> str:
    """An amount of money in words for a list; empty where there is none."""
    from breakdesk.rules.money import Money

    return "" if minor is None or currency is None else format_money(Money(minor, currency))
