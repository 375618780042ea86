"""Linking claims to a checklist that came later: shown before it is done, one action, and no fixed owner changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.ownership import owner_found
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import Claim
from breakdesk.rules.entry import Lexicon
from breakdesk.rules.entry.linking import Linking, linkings, what_a_link_says
from breakdesk.rules.ownership import Owner
from breakdesk.rules.wording import counted
from breakdesk.store.spots import maker_of_product, read_checklists
from breakdesk.store.unlinked import products_with_unlinked, unlinked_claims


@dataclass(frozen=True, slots=True)
class ToLink:
    """The claims of a product that have no card yet: those that fit one surely, the doubtful, and those not listed."""

    product_id: int
    sure: tuple[Linking, ...]
    doubtful: tuple[Linking, ...]
    unlisted: tuple[Linking, ...]
    owners: Mapping[int, Owner]
    """Whose a claim becomes, by its key, where nobody owned it yet and its card says who does."""


def products_to_link(desk: Desk) -> list[tuple[int, str, int]]:
    """Key, name and number of unlinked claims of each product that has a checklist."""
    return products_with_unlinked(desk.database)


def to_link(desk: Desk, product_id: int) -> ToLink:
    """What linking would do, claim by claim. Takes a moment: not for a key press."""
    found = list(_linkings(desk, product_id))
    return ToLink(
        product_id,
        sure=tuple(one for one in found if one.sure),
        doubtful=tuple(one for one in found if one.cards and not one.sure),
        unlisted=tuple(one for one in found if not one.cards),
        owners={one.claim.id: owner for one in found if one.cards and (owner := owner_found(_linked(one)))},
    )


def _linkings(desk: Desk, product_id: int) -> list[Linking]:
    cards = read_checklists(desk.database, (product_id,))
    claims = unlinked_claims(desk.database, product_id)
    if not cards or not claims:
        return []
    lexicon = Lexicon.build(None, cards, ())
    day = desk.clock.as_of().date()
    return list(linkings(claims, {card.id: card for card in cards}, lexicon, day))


def link(desk: Desk, product_id: int, chosen: Mapping[int, int], key: int | None = None) -> Result:
    """Links the claims of a product to its checklist: those that fit surely, and those chosen, by their keys.

    `chosen` gives a card's key for a claim's key. An owner that is fixed stays; one that was not known yet is taken
    from the spots where they say it without a doubt.
    """

    def work(a: Act) -> str:
        found = _linkings(desk, product_id)
        cards = {card.id: card for card in read_checklists(desk.database, (product_id,))}
        wanted = {one.claim.id: one.cards[0].id for one in found if one.sure} | dict(chosen)
        claims = {one.claim.id: one.claim for one in found}
        gone = [claim_id for claim_id, card_id in wanted.items() if claim_id not in claims or card_id not in cards]
        if gone:
            raise refuse("The desk has changed since that was looked at.", "Look at the claims to be linked again.")
        if not wanted:
            raise refuse("No claim fits a card of that checklist.", "Correct the claims, or load the checklist again.")
        maker_id = maker_of_product(desk.database, product_id)
        for claim_id, card_id in sorted(wanted.items()):
            body = what_a_link_says(claims[claim_id], cards[card_id])
            if claims[claim_id].maker_id is None and maker_id is not None:
                body["maker_id"] = maker_id
            a.add_in_order(claims[claim_id], "corrected", body)
            owner = owner_found(a.claim(claim_id))
            if owner is not None:
                a.add_in_order(claims[claim_id], "owner", owner.body())
        left = len(found) - len(wanted)
        rest = f" {counted(left, 'claim has', 'claims have')} no card yet." if left else ""
        return f"{counted(len(wanted), 'claim is', 'claims are')} linked to the checklist.{rest}"

    return act(desk, "link", work, key)


def _linked(one: Linking) -> Claim:
    said = {name: value for name, value in what_a_link_says(one.claim, one.cards[0]).items() if name != "card_id"}
    return replace(one.claim, **said)
