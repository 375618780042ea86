"""The words of the decide round: reasons, choices, wishes and policies."""

from __future__ import annotations

from breakdesk.rules.parcel_states import TROUBLE, state_said
from breakdesk.rules.rounds.items import ToDecide
from breakdesk.tui.screens.settling_dialogs import END_WORDS
from breakdesk.tui.wording import values_words

WHY = {
    "refused": ("refused", "The maker will not fill it: how is it made good?"),
    "expired_at_pull": ("expired", "The claim card had expired when it was pulled."),
    "offer": ("offer", "The maker offers another card."),
    "owner": ("whose?", "Several participants may own it."),
    "failed_submission": ("not accepted", "The maker did not take it."),
    "lost": ("parcel", "Its parcel did not arrive as it should."),
    "not_answering": ("no answer", "The participant does not answer."),
    "follow_up": ("follow-up", "Its day has come."),
}
CHOICE_WORDS = {
    **END_WORDS,
    "try": "Try to submit it although it had expired",
    "ask": "Ask the maker first",
    "refuse": "The maker will not fill it: mark it as refused",
    "close": "Close it under the terms of the break",
    "void": "It was entered by mistake: void it",
    "take": "They take the other card",
    "wait": "They wait for the card that was promised",
    "decline": "They want neither",
    "pass_on": "The maker has the answer now",
    "draw": "Draw, in a way that anybody can check",
    "choose": "Choose one of them, with a reason",
    "house": "It is the house's own",
    "again": "Try it again as it is",
    "reading": "Try another reading of the code",
    "back": "The card is back here",
    "delivered": "It arrived, and nothing more is owed",
    **{state: f"The parcel {state_said(state)}" for state in TROUBLE},
    "as_usual": "It is as usual again: its claims may be asked about",
    "new_day": "Come back to it on another day",
    "done": "It is done",
    "answer": "Say what the maker answered",
    "aside": "Put it aside until a day",
    "confirmed": "They answered: the address is right as it stands",
}
WISH_WORDS = {"wait": "waits for what was promised", "take": "takes a replacement", "ask": "wants to be asked"}
POLICY_WORDS = {
    "accepts": "takes expired cards",
    "ask_first": "wants to be asked first",
    "refuses": "refuses expired cards",
    "unknown": "not known",
}


def why_words(line: ToDecide) -> tuple[str, str]:
    """One word and one sentence for what brought it here."""
    if line.review is not None:
        return "maker", "You marked this maker; the day to look at it again has come."
    if line.why == "follow_up" and line.claim is not None and line.claim.follow_up_on is None:
        return "no reply", "The maker was asked and has not replied."
    return WHY[line.why]


def money_words(minor: int, currency: str) -> str:
    """An amount."""
    return values_words([(currency, minor)])
