"""Windows over long lists: a screen asks for the rows that it shows, and for a count."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.desk.desk import Desk
from breakdesk.store import lists
from breakdesk.store.lists import ClaimRow, OwedRow

__all__ = ["ClaimRow", "Filter", "OwedRow", "claim_rows", "count_claims", "count_owed", "owed_rows", "rows_with_keys"]


@dataclass(frozen=True, slots=True)
class Filter:
    """Which claims a list shows; empty parts do not narrow it."""

    state: str = ""
    maker_id: int | None = None
    break_id: int | None = None
    person_id: int | None = None
    since: date | None = None


def owed_rows(desk: Desk, offset: int, limit: int) -> list[OwedRow]:
    """Participants who are owed something, by name."""
    return lists.owed_rows(desk.database, offset, limit)


def count_owed(desk: Desk) -> int:
    """How many participants are owed something."""
    return lists.count_owed(desk.database)


def claim_rows(desk: Desk, chosen: Filter, offset: int, limit: int) -> list[ClaimRow]:
    """Claims, newest first."""
    where, values = _condition(chosen)
    return lists.claim_rows(desk.database, where, values, offset, limit)


def count_claims(desk: Desk, chosen: Filter) -> int:
    """How many claims a list would show."""
    where, values = _condition(chosen)
    return lists.count_claims(desk.database, where, values)


def rows_with_keys(desk: Desk, claim_ids: tuple[int, ...]) -> list[ClaimRow]:
    """Some claims as a list shows them, in the order given."""
    return lists.rows_with_keys(desk.database, claim_ids)


def _condition(chosen: Filter) -> tuple[str, list[object]]:
    parts: list[tuple[str, object]] = []
    if chosen.state:
        parts.append(("claim.state = ?", chosen.state))
    if chosen.maker_id is not None:
        parts.append(("claim.maker_id = ?", chosen.maker_id))
    if chosen.break_id is not None:
        parts.append(("claim.break_id = ?", chosen.break_id))
    if chosen.person_id is not None:
        parts.append(("claim.owner_id = ?", chosen.person_id))
    if chosen.since is not None:
        parts.append(("claim.pull_day >= ?", chosen.since.isoformat()))
    return " AND ".join(part for part, _ in parts), [value for _, value in parts]
