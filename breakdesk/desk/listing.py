"""Windows over long lists: a screen asks for the rows that it shows, and for a count."""

from __future__ import annotations

from breakdesk.desk.desk import Desk
from breakdesk.store import lists
from breakdesk.store.lists import ClaimRow, OwedRow

__all__ = [
    "ClaimRow",
    "OwedRow",
    "card_words",
    "claim_rows",
    "count_claims",
    "count_owed",
    "owed_rows",
    "rows_with_keys",
]


def owed_rows(desk: Desk, offset: int, limit: int) -> list[OwedRow]:
    """Participants who are owed something, by name."""
    return lists.owed_rows(desk.database, offset, limit)


def count_owed(desk: Desk) -> int:
    """How many participants are owed something."""
    return lists.count_owed(desk.database)


def claim_rows(desk: Desk, offset: int, limit: int) -> list[ClaimRow]:
    """All claims, the latest pull first."""
    return lists.claim_rows(desk.database, offset, limit)


def count_claims(desk: Desk) -> int:
    """How many claims there are."""
    return lists.count_claims(desk.database)


def card_words(row: ClaimRow) -> str:
    """What a claim in a list is, in a few words: who is on the card, which one it is, and its place in its run."""
    run = "" if row.numbered_to is None else f" {'' if row.serial is None else row.serial}/{row.numbered_to}"
    return " & ".join(row.subject.split(";")) + (f" {row.variation}" if row.variation else "") + run


def rows_with_keys(desk: Desk, claim_ids: tuple[int, ...]) -> list[ClaimRow]:
    """Some claims as a list shows them, in the order given."""
    return lists.rows_with_keys(desk.database, claim_ids)
