"""Windowed queries for the screens' lists, each counted and paged by the engine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from breakdesk.store.engine import run
from breakdesk.store.models import StrictSqlite


@dataclass(frozen=True, slots=True)
class OwedRow:
    """A participant in the owed list. `values` are minor units by currency."""

    person_id: int
    name: str
    handle: str
    on_air_name: str
    claims: int
    oldest_pull: date
    values: tuple[tuple[str, int], ...]
    last_told_on: date | None
    tell_due_on: date | None
    on_hold: bool


@dataclass(frozen=True, slots=True)
class ClaimRow:
    """A claim in a list."""

    id: int
    tag: str
    state: str
    kind: str
    subject: str
    team: str
    variation: str
    numbered_to: int | None
    serial: int | None
    owner_kind: str
    owner_name: str
    owner_handle: str
    owner_on_air: str
    product: str
    pull_day: date
    submitted_on: date | None
    reference: str
    closed_how: str


# Of the states, in the order of their letters, these are the ones that are neither closed nor void; the engine finds
# them by one search for each participant.
_IS_OWED = (
    "EXISTS (SELECT 1 FROM claim WHERE claim.owner_id = participant.id "
    "AND claim.state > 'closed' AND claim.state < 'void')"
)
_OWED = f"""
SELECT participant.id, participant.name, participant.handle, participant.on_air_name, count(*), min(claim.pull_day),
       participant.last_told_on, participant.tell_due_on, participant.on_hold
  FROM (SELECT id FROM participant WHERE {_IS_OWED} ORDER BY folded, id LIMIT ? OFFSET ?) AS owed
  JOIN participant ON participant.id = owed.id
  JOIN claim ON claim.owner_id = owed.id AND claim.state > 'closed' AND claim.state < 'void'
 GROUP BY participant.id ORDER BY participant.folded, participant.id
"""


def owed_rows(database: StrictSqlite, offset: int, limit: int) -> list[OwedRow]:
    """A window of the participants who are owed something, by folded name."""
    rows = run(database, _OWED, (limit, offset)).fetchall()
    values = _values(database, [row[0] for row in rows])
    return [
        OwedRow(
            person_id=row[0],
            name=row[1],
            handle=row[2],
            on_air_name=row[3],
            claims=row[4],
            oldest_pull=date.fromisoformat(row[5]),
            values=values.get(row[0], ()),
            last_told_on=_day(row[6]),
            tell_due_on=_day(row[7]),
            on_hold=bool(row[8]),
        )
        for row in rows
    ]


def _values(database: StrictSqlite, person_ids: Sequence[int]) -> dict[int, tuple[tuple[str, int], ...]]:
    marks = ", ".join("?" for _ in person_ids)
    sql = (
        "SELECT owner_id, currency, sum(value) FROM claim WHERE state NOT IN ('closed', 'void') "
        f"AND value IS NOT NULL AND owner_id IN ({marks}) GROUP BY owner_id, currency ORDER BY currency"
    )
    found: dict[int, tuple[tuple[str, int], ...]] = {}
    for person_id, currency, total in run(database, sql, person_ids):
        found[person_id] = (*found.get(person_id, ()), (currency, total))
    return found


def count_owed(database: StrictSqlite) -> int:
    """How many participants are owed something."""
    return int(run(database, f"SELECT count(*) FROM participant WHERE {_IS_OWED}").fetchone()[0])


_CLAIMS = """
SELECT claim.id, claim.tag, claim.state, claim.kind, claim.subject, claim.team, claim.variation, claim.numbered_to,
       claim.serial, claim.owner_kind, coalesce(participant.name, ''), coalesce(participant.handle, ''),
       coalesce(participant.on_air_name, ''), coalesce(product.name, ''), claim.pull_day, claim.submitted_on,
       claim.reference, coalesce(claim.closed_how, '')
  FROM claim
  LEFT JOIN participant ON participant.id = claim.owner_id
  LEFT JOIN product ON product.id = claim.product_id
"""


def claim_rows(database: StrictSqlite, offset: int, limit: int) -> list[ClaimRow]:
    """A window of all claims, the latest pull first.

    The way to the window goes along the narrow index of pulls, so that the last page costs hardly more than the first.
    """
    keys = "SELECT id FROM claim ORDER BY pull_day DESC, id DESC LIMIT ? OFFSET ?"
    sql = f"{_CLAIMS} WHERE claim.id IN ({keys}) ORDER BY claim.pull_day DESC, claim.id DESC"
    return [_claim_row(row) for row in run(database, sql, [limit, offset])]


def count_claims(database: StrictSqlite) -> int:
    """How many claims there are, void ones as well."""
    return int(run(database, "SELECT count(*) FROM claim").fetchone()[0])


def rows_with_keys(database: StrictSqlite, claim_ids: Sequence[int]) -> list[ClaimRow]:
    """The claims with these keys, in the order given."""
    marks = ", ".join("?" for _ in claim_ids)
    found = {row[0]: _claim_row(row) for row in run(database, f"{_CLAIMS} WHERE claim.id IN ({marks})", claim_ids)}
    return [found[claim_id] for claim_id in claim_ids if claim_id in found]


def _claim_row(row: Sequence[Any]) -> ClaimRow:
    values = list(row)
    values[14] = date.fromisoformat(values[14])
    values[15] = _day(values[15])
    return ClaimRow(*values)


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None


_PEOPLE = """
SELECT participant.id, participant.name, participant.handle, participant.on_air_name,
       (SELECT count(*) FROM claim WHERE claim.owner_id = participant.id AND claim.state NOT IN ('closed', 'void'))
  FROM participant WHERE participant.id IN ({marks}) ORDER BY participant.folded
"""


def people_rows(database: StrictSqlite, person_ids: Sequence[int]) -> list[tuple[int, str, str, str, int]]:
    """Participants with how many cards they are owed, by folded name."""
    sql = _PEOPLE.format(marks=", ".join("?" for _ in person_ids))
    return [tuple(row) for row in run(database, sql, person_ids)]


def claims_of_people(database: StrictSqlite, person_ids: Sequence[int], limit: int) -> list[int]:
    """Keys of the claims that some participants own, open ones first, then the newest."""
    marks = ", ".join("?" for _ in person_ids)
    sql = f"SELECT id FROM claim WHERE owner_id IN ({marks}) ORDER BY state IN ('closed', 'void'), id DESC LIMIT ?"
    return [row[0] for row in run(database, sql, [*person_ids, limit])]


def tags_of_tellings(database: StrictSqlite, telling_ids: Sequence[int]) -> dict[int, tuple[str, ...]]:
    """The tags of the claims that each of some tellings covered."""
    marks = ", ".join("?" for _ in telling_ids)
    sql = (
        "SELECT telling_claim.telling_id, claim.tag FROM telling_claim JOIN claim ON claim.id = telling_claim.claim_id "
        f"WHERE telling_claim.telling_id IN ({marks}) ORDER BY telling_claim.id"
    )
    found: dict[int, tuple[str, ...]] = {}
    for telling_id, tag in run(database, sql, telling_ids):
        found[telling_id] = (*found.get(telling_id, ()), tag)
    return found
