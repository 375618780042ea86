"""The one home of the words a buyer reads for states, news, closings and next steps."""

from __future__ import annotations

from breakdesk.files.messages.plain import plain_line
from breakdesk.rules.parcel_states import TROUBLE, told_of

STATES = {
    "pulled": "pulled, and to be sent in to the maker",
    "submitted": "sent in, waiting for the maker",
    "offered": "the maker offers another card instead",
    "in_hand": "here with us",
    "shipped": "on its way to you",
    "closed": "finished",
    "refused": "the maker will not send it",
    "void": "entered by mistake",
}

CLOSINGS = {
    "delivered": "delivered",
    "given": "the claim card was given to you",
    "refunded": "refunded",
    "credited": "credited",
    "replaced": "replaced by another card",
    "bought_out": "bought from you",
    "terms": "closed under the terms of the break",
    "unclaimed": "closed, as nobody answered",
    "kept": "kept by the house",
}

# For each news word: a title, and the few words that stand after a card or in front of a list of cards.
NEWS = {
    "offered": ("Your choice", "another card is offered"),
    "address": ("Your address", "we need your address"),
    "delivery": ("Please say whether it arrived", "please say whether it arrived"),
    "refused": ("Refused by the maker", "the maker will not send it"),
    "shipped": ("On the way", "on its way"),
    "in_hand": ("Here with us", "here with us"),
    "replaced": ("Replaced", "replaced"),
    "refunded": ("Refunded", "refunded"),
    "credited": ("Credited", "credited"),
    "bought_out": ("Bought from you", "bought from you"),
    "owner": ("New owner", "has a new owner"),
    "terms": ("Closed", "closed under the terms"),
    "unclaimed": ("Closed", "closed without an answer"),
    "submitted": ("Sent in", "sent in to the maker"),
    "pulled": ("Pulled", "pulled for you"),
    "noted": ("News", "news"),
    "waiting": ("Still waiting", "still with the maker"),
}

# In a public post money, addresses and choices are nobody else's business.
PUBLIC = {
    "pulled": "Pulled, to be sent in",
    "submitted": "Sent in to the maker",
    "waiting": "Still with the maker",
    "in_hand": "Here with us",
    "shipped": "On the way",
}
PUBLIC_OTHERWISE = "We have written to you, please read your messages"

NEXT_STEPS = {
    "submit": "we send the claim in to the maker",
    "ask": "we ask the maker",
    "look": "we look the claim up with the maker",
    "answer": "the maker should have answered us",
    "choose": "you choose whether to take the replacement",
    "address": "you confirm your address",
    "ship": "we ship your card",
    "arrive": "the parcel should be with you",
    "make_good": "we make it good",
    "decide": "we decide what to do and tell you",
    "update": "you hear from us again",
    "call": "we come back to you as promised",
    "nothing": "nothing more is open",
}

NEEDS = ("choose", "confirm_address", "confirm_delivery")


def known_news(word: str) -> str:
    """The word itself, or `noted` for a word that has no sentence here."""
    return word if word in NEWS else "noted"


def news_title(word: str) -> str:
    """Short heading of a news word."""
    return NEWS[known_news(word)][0]


def news_short(word: str) -> str:
    """The few words a short message uses for it."""
    return NEWS[known_news(word)][1]


def public_title(word: str) -> str:
    """Heading of a public list; what is private reads the same for all of it."""
    return PUBLIC.get(word, PUBLIC_OTHERWISE)


def state_words(state: str, closed_how: str = "") -> str:
    """What a buyer reads for a claim's state, or its way to them; a closed claim says how it ended."""
    if state == "direct":
        return "on its way from the maker to you"
    if state in TROUBLE:
        return told_of(state)
    if state == "closed" and closed_how in CLOSINGS:
        return CLOSINGS[closed_how]
    return STATES.get(state, plain_line(state).replace("_", " "))


def closing_words(closed_how: str) -> str:
    """What a buyer reads for the way a claim ended; empty for none."""
    return CLOSINGS.get(closed_how, plain_line(closed_how).replace("_", " "))


def next_step_words(step: str, *, asked: bool = False, dated: bool = False) -> str:
    """What happens next, as the end of a sentence; empty for no step. A dated one ends so that its day can follow.

    An ask may happen from its day on, which is no promise of a day; everything else is to happen by its day.
    """
    if step == "ask":
        words = "we may ask the maker" if dated else NEXT_STEPS[step]
        return f"{words}{' again' if asked else ''}{' from' if dated else ''}"
    return NEXT_STEPS.get(step, plain_line(step).replace("_", " ")) + (", by" if dated else "")
