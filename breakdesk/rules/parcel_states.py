"""Where a parcel stands, in the words that people read; the words that are stored are nobody's business but ours."""

from __future__ import annotations

from typing import Final

TROUBLE: Final = ("lost", "damaged", "not_delivered", "returned")
"""What can go wrong once a parcel left: its cards wait for a decision. The worst comes first."""
UNSETTLED: Final = (*TROUBLE, "packing", "shipped")
"""The states in which something is still to be done about a parcel, in the order in which a list shows them."""

STATE_WORDS: Final = {
    "packing": "being packed",
    "shipped": "on its way",
    "delivered": "arrived",
    "lost": "lost",
    "damaged": "damaged on the way",
    "not_delivered": "not delivered",
    "returned": "came back",
    "dropped": "taken back",
}
"""A parcel's state in a column of its own."""

_SAID: Final = {
    "packing": "is still being packed",
    "shipped": "is on its way",
    "delivered": "has arrived",
    "lost": "is lost",
    "damaged": "was damaged on the way",
    "not_delivered": "was not delivered",
    "returned": "came back",
    "dropped": "was taken back",
}


_TOLD: Final = {
    "lost": "it did not reach you; we are looking into it",
    "damaged": "it reached you damaged; we are looking into it",
    "not_delivered": "it did not reach you; we are looking into it",
    "returned": "its parcel came back to us",
}


def told_of(trouble: str) -> str:
    """What a participant reads of a card whose parcel went wrong."""
    return _TOLD[trouble]


def said_of_parcel(parcel_id: int, state: str) -> str:
    """A sentence without its full stop: where the parcel of this number stands."""
    return f"Parcel {parcel_id} {state_said(state)}"


def state_said(state: str) -> str:
    """What is said of a parcel in a state, behind its name: "is on its way"."""
    return _SAID[state]
