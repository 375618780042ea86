"""How a claim ends: the maker refuses, the house settles, the claim closes or was entered by mistake."""

from __future__ import annotations

from breakdesk.rules.claim import ENDING_ALL_NEWS, ENDING_THE_HOUSES_DEBT, Event
from breakdesk.rules.events.facts import Facts, add_news, leave_parcel, owner_news


def refused(facts: Facts, event: Event) -> None:
    """The maker will not fill the claim."""
    leave_parcel(facts)
    facts.update(state="refused", refused_on=event.day)
    owner_news(facts, event, "refused")
    _close_if_both_debts_ended(facts, event)


def closed(facts: Facts, event: Event) -> None:
    """The claim closes, or, where the maker still owes the card, what the house owes its participant is settled."""
    body = event.body
    how = body["how"]
    if body.get("fault"):
        facts["fault"] = body["fault"]
    if how in ENDING_THE_HOUSES_DEBT and facts.get("in_hand_on") is None:
        _settle(facts, event)
        return
    leave_parcel(facts)
    facts.update(
        state="closed",
        closed_on=event.day,
        closed_how=how,
        closed_amount=body.get("amount"),
        closed_currency=body.get("currency"),
    )
    if how in ENDING_ALL_NEWS or body.get("by_claim"):
        # Where another claim takes over, that one carries the news.
        facts["news"] = {}
    elif body.get("news"):
        add_news(facts, how, event.day, facts.get("owner_id"))


def _settle(facts: Facts, event: Event) -> None:
    how = event.body["how"]
    facts.update(
        settled_on=event.day,
        settled_how=how,
        settled_amount=event.body.get("amount"),
        settled_currency=event.body.get("currency"),
    )
    add_news(facts, how, event.day, facts.get("owner_id"))
    leave_parcel(facts)
    facts.update(owner_kind="house", owner_id=None, candidates=(), owner_since=event.day)
    _close_if_both_debts_ended(facts, event)


def _close_if_both_debts_ended(facts: Facts, event: Event) -> None:
    # Where the house gave the card to somebody after it had settled, it owes that one.
    if facts.get("settled_how") and facts["state"] == "refused" and facts["owner_kind"] == "house":
        facts.update(
            state="closed",
            closed_on=event.day,
            closed_how=facts["settled_how"],
            closed_amount=facts["settled_amount"],
            closed_currency=facts["settled_currency"],
        )


def void(facts: Facts, event: Event) -> None:
    """The claim was entered by mistake."""
    leave_parcel(facts)
    facts.update(state="void", news={})
