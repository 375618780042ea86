"""Claims change hands: named by key so that no full name is needed, swapped in one action, settled with its reason."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.entering import owner_words
from breakdesk.desk.finding import STATE_WORDS, claim_named, require_people
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import HOUSE_PARTY, Claim
from breakdesk.rules.ownership import Owner
from breakdesk.rules.wording import counted
from breakdesk.store.claims import read_claims

HOUSE = None
"""Stands for the house where a participant's key is wanted."""


def hand_over(desk: Desk, tag: str, person_id: int | None, reason: str = "", key: int | None = None) -> Result:
    """Gives a claim to a participant, or to the house where no key is given; one that was fixed needs a reason."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if claim.owner_id is not None and not reason.strip():
            raise refuse(f"{claim.tag} has an owner already.", "Say why it changes hands.")
        give(a, claim, person_id, a.text(reason))
        return f"{claim.tag} is now for {owner_words(a, _owner(person_id))}."

    return act(desk, "change owner", work, key)


def settle(desk: Desk, tag: str, person_id: int | None, how: str, key: int | None = None) -> Result:
    """Settles a card of several owners by a reason, or by what was done on camera; `how` tells it in full."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if claim.owner_kind != "several":
            raise refuse(f"{claim.tag} is not shared by several owners.", "Change its owner instead.")
        if (HOUSE_PARTY if person_id is None else person_id) not in claim.candidates:
            who = "The house" if person_id is None else "That participant"
            raise refuse(f"{who} has no part in this card.", "Change its owner instead, with a reason.")
        if not how.strip():
            raise refuse("A choice needs its reason.", "Say in a few words how it was decided.")
        give(a, claim, person_id, a.text(how))
        return f"{claim.tag} is settled: it is for {owner_words(a, _owner(person_id))}."

    return act(desk, "settle", work, key)


def swap_claims(desk: Desk, first: str, second: str, reason: str, key: int | None = None) -> Result:
    """Two claims change owners with each other."""

    def work(a: Act) -> str:
        one, other = claim_named(a, first), claim_named(a, second)
        for claim in (one, other):
            if claim.owner_kind in ("several", "nobody"):
                raise refuse(f"The owner of {claim.tag} is not settled yet.", "Settle it first.")
        if one.owner_id == other.owner_id:
            raise refuse("Both are the same owner's already.")
        if not reason.strip():
            raise refuse("A swap needs a reason.", "Say in a few words what was agreed.")
        said = a.text(reason)
        give(a, one, other.owner_id, said)
        give(a, other, one.owner_id, said)
        return f"{one.tag} and {other.tag} have changed hands."

    return act(desk, "swap", work, key)


def swap_people(desk: Desk, break_id: int, first: int, second: int, reason: str, key: int | None = None) -> Result:
    """Everything that two participants hit in a break changes hands between them."""

    def work(a: Act) -> str:
        if not reason.strip():
            raise refuse("A swap needs a reason.", "Say in a few words what was agreed.")
        where = "claim.break_id = ? AND claim.owner_id IN (?, ?) AND claim.state NOT IN ('void', 'closed', 'shipped')"
        claims = list(read_claims(desk.database, where, [break_id, first, second]))
        if not claims or first == second:
            raise refuse("Neither of them has a claim of this break to swap.")
        said = a.text(reason)
        for claim in claims:
            give(a, claim, second if claim.owner_id == first else first, said)
        return f"{counted(len(claims), 'claim has', 'claims have')} changed hands."

    return act(desk, "swap", work, key)


def give(a: Act, claim: Claim, person_id: int | None, body: Mapping[str, Any]) -> None:
    """Makes somebody the owner of a claim inside an action; refuses where that cannot be."""
    if not claim.is_open:
        raise refuse(f"Claim {claim.tag} is {STATE_WORDS[claim.state]}; its owner does not change any more.")
    if claim.state == "shipped":
        raise refuse(f"Claim {claim.tag} is on its way.", "Wait until it arrived, or mark it as back in hand.")
    kind = "house" if person_id is None else "person"
    if (claim.owner_kind, claim.owner_id) == (kind, person_id):
        raise refuse(f"Claim {claim.tag} is theirs already.")
    require_people([] if person_id is None else [person_id])
    owner = {"owner_kind": kind} if person_id is None else {"owner_kind": kind, "owner_id": person_id}
    a.add_in_order(claim, "owner", {**owner, **body})


def _owner(person_id: int | None) -> Owner:
    return Owner.house() if person_id is None else Owner.person(person_id)
