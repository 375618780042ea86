"""What a desk holds already, as loading files compares with it, and bulk writing of what it adds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from functools import cache
from typing import Any

from breakdesk.rules.terms import HOUSE_DEFAULTS, MAKER_DEFAULTS, Terms, terms_from
from breakdesk.store import models
from breakdesk.store.engine import insert_rows, run, run_many
from breakdesk.store.models import StrictSqlite
from breakdesk.store.models.base import Table, Versioned

TermRow = tuple[str, str, date | None]
SpotKey = tuple[int, int | None, str, str]
"""Break, product (None for all of them), folded holdings in order, order number."""

_REMEMBERED = "loaded "


@dataclass(slots=True)
class Snapshot:
    """The desk at one moment, by what files name things with. Rows are dictionaries by column."""

    house_name: str | None
    house_terms: list[TermRow]
    maker_terms: dict[int, list[TermRow]]
    closed_days: dict[tuple[int, str], set[str]]
    """ISO days by maker and source."""
    makers: dict[int, dict[str, Any]]
    accounts: dict[tuple[int, str], int]
    products: dict[int, dict[str, Any]]
    participants: dict[int, dict[str, Any]]
    contacts: dict[int, dict[str, Any]]
    addresses: dict[int, dict[str, Any]]
    """The present address of each participant who has one."""
    breaks: dict[int, dict[str, Any]]
    break_products: dict[int, list[int]]
    spots: dict[int, dict[str, Any]]
    holders: dict[int, set[int]]
    remembered: dict[str, str]
    """The digest of the row that last said something about a thing."""
    has_claims: bool
    next_ids: dict[type[Table], int] = field(default_factory=dict)

    def house(self) -> Terms:
        """The house's terms."""
        return terms_from(HOUSE_DEFAULTS, self.house_terms)

    def maker(self, maker_id: int) -> Terms:
        """A maker's terms."""
        return terms_from(MAKER_DEFAULTS, self.maker_terms.get(maker_id, ()))


NUMBERED: tuple[type[Table], ...] = (
    models.Maker, models.Account, models.Product, models.Participant, models.Address, models.Break, models.Spot,
    models.Card, models.Claim, models.FreeText, models.Telling,
)  # fmt: skip


def read_snapshot(database: StrictSqlite) -> Snapshot:
    """Everything but claims, cards and codes, which are looked up only where files have such rows."""
    terms: dict[int | None, list[TermRow]] = {}
    for maker_id, name, value, from_day in run(
        database, "SELECT maker_id, name, value, from_day FROM term ORDER BY id"
    ):
        terms.setdefault(maker_id, []).append((name, value, date.fromisoformat(from_day) if from_day else None))
    closed: dict[tuple[int, str], set[str]] = {}
    for maker_id, day, source in run(database, "SELECT maker_id, day, source FROM closed_day"):
        closed.setdefault((maker_id, source), set()).add(day)
    products: dict[int, list[int]] = {}
    for break_id, product_id in run(database, "SELECT break_id, product_id FROM break_product ORDER BY id"):
        products.setdefault(break_id, []).append(product_id)
    holders: dict[int, set[int]] = {}
    for spot_id, participant_id in run(database, "SELECT spot_id, participant_id FROM spot_holder"):
        holders.setdefault(spot_id, set()).add(participant_id)
    name = run(database, "SELECT value FROM desk_fact WHERE name = 'house'").fetchone()
    accounts = run(database, "SELECT maker_id, folded, id FROM account")
    remembered = run(database, "SELECT name, value FROM setting WHERE name LIKE 'loaded %'")
    return Snapshot(
        house_name=name[0] if name else None,
        house_terms=terms.pop(None, []),
        maker_terms={maker_id: rows for maker_id, rows in terms.items() if maker_id is not None},
        closed_days=closed,
        makers=_rows(database, "maker", ("id", "name", "folded", "contact")),
        accounts={(maker_id, folded): key for maker_id, folded, key in accounts},
        products=_rows(database, "product", ("id", "maker_id", "name", "folded")),
        participants=_rows(
            database,
            "participant",
            ("id", "name", "folded", "handle", "on_air_name", "channel", "zone", "language", "merged_into_id"),
        ),
        contacts=_rows(database, "contact", ("participant_id", "email", "phone")),
        addresses=_rows(
            database, "address", ("participant_id", "id", "text", "country", "confirmed_on"), "ended_at IS NULL"
        ),
        breaks=_rows(database, "break", ("id", "name", "folded", "starts_at", "night", "format")),
        break_products=products,
        spots=_rows(
            database,
            "spot",
            ("id", "break_id", "product_id", "holds", "folded", "order_number", "price", "currency"),
        ),
        holders=holders,
        remembered={key.removeprefix(_REMEMBERED): value for key, value in remembered},
        has_claims=run(database, "SELECT 1 FROM claim LIMIT 1").fetchone() is not None,
        next_ids={table: _next(database, table) for table in NUMBERED},
    )


def _next(database: StrictSqlite, table: type[Table]) -> int:
    return int(run(database, f'SELECT coalesce(max(id), 0) + 1 FROM "{table._meta.table_name}"').fetchone()[0])


def _rows(database: StrictSqlite, table: str, columns: Sequence[str], condition: str = "") -> dict[int, dict[str, Any]]:
    """Rows by the first of the columns."""
    names = ", ".join(f'"{column}"' for column in columns)
    where = f" WHERE {condition}" if condition else ""
    found = run(database, f'SELECT {names} FROM "{table}"{where} ORDER BY id' if "id" in columns else
                f'SELECT {names} FROM "{table}"{where}')  # fmt: skip
    return {row[0]: dict(zip(columns, row, strict=True)) for row in found}


@dataclass(frozen=True, slots=True)
class KnownClaims:
    """How claims are found again: by tag, and by the row they came from."""

    by_tag: Mapping[str, int]
    by_digest: Mapping[str, int]


def read_known_claims(database: StrictSqlite) -> KnownClaims:
    """The tags and rows of every claim."""
    rows = run(database, "SELECT id, tag_key, row_digest FROM claim").fetchall()
    return KnownClaims(
        {tag: key for key, tag, _ in rows},
        {digest: key for key, _, digest in rows if digest},
    )


def read_code_digests(database: StrictSqlite) -> list[tuple[int, str, str | None, str | None]]:
    """Of every claim with a code: its key, its tag, and the code's two digests."""
    return list(
        run(
            database,
            "SELECT claim_id, tag, digest, folded_digest FROM claim_code JOIN claim ON claim.id = claim_code.claim_id",
        )
    )


def read_card_digests(database: StrictSqlite, product_id: int) -> set[str]:
    """The rows of a product's checklist that the desk holds."""
    return {row[0] for row in run(database, "SELECT row_digest FROM card WHERE product_id = ?", (product_id,))}


def read_notes(database: StrictSqlite, claim_ids: Iterable[int]) -> dict[int, str | None]:
    """The note of each of some claims that has one; None where its text was erased."""
    notes: dict[int, str | None] = {}
    for claim_id in claim_ids:
        row = run(
            database,
            "SELECT text FROM claim JOIN free_text ON free_text.id = claim.note_id WHERE claim.id = ?",
            (claim_id,),
        ).fetchone()
        if row is not None:
            notes[claim_id] = row[0]
    return notes


@cache
def _blank(table: type[Table]) -> dict[str, Any]:
    """A table's columns with the defaults that the engine does not know."""
    fields = table._meta.sorted_fields
    return {field.column_name: field.db_value(field.default) for field in fields if field.name != "id"}


def insert_new(database: StrictSqlite, table: type[Table], rows: Sequence[Mapping[str, Any]]) -> None:
    """Adds rows of already stored-form values by column; what a row leaves out takes its default."""
    if not rows:
        return
    blank = dict(_blank(table))
    columns = list(dict.fromkeys([*(["id"] if "id" in rows[0] else []), *blank]))
    insert_rows(database, table, columns, ([row.get(name, blank.get(name)) for name in columns] for row in rows))


def update_row(database: StrictSqlite, table: type[Table], row_id: int, values: Mapping[str, Any]) -> None:
    """Changes columns of one row and, where rows are versioned, moves its version on."""
    key = "participant_id" if table is models.Contact else "id"
    changes = [f'"{column}" = ?' for column in values]
    if issubclass(table, Versioned):
        changes.append("version = version + 1")
    sql = f'UPDATE "{table._meta.table_name}" SET {", ".join(changes)} WHERE "{key}" = ?'
    run(database, sql, (*values.values(), row_id))


def set_house_name(database: StrictSqlite, name: str) -> None:
    """Gives the house its name."""
    _upsert(database, "desk_fact", [("house", name)])


def remember_rows(database: StrictSqlite, digests: Mapping[str, str]) -> None:
    """Notes which row last said something about each thing, so that loading it again can change nothing."""
    _upsert(database, "setting", [(_REMEMBERED + thing, digest) for thing, digest in digests.items()])


def _upsert(database: StrictSqlite, table: str, rows: Sequence[tuple[str, str]]) -> None:
    run_many(
        database,
        f'INSERT INTO "{table}" (name, value) VALUES (?, ?) ON CONFLICT (name) DO UPDATE SET value = excluded.value',
        rows,
    )


def forget_holidays(database: StrictSqlite, maker_id: int) -> None:
    """Takes a maker's public holidays out, before those of another country are noted."""
    run(database, "DELETE FROM closed_day WHERE maker_id = ? AND source = 'holiday'", (maker_id,))


def replace_holders(database: StrictSqlite, spot_id: int, holders: Iterable[int]) -> None:
    """Gives a spot to these participants, and to nobody else."""
    run(database, "DELETE FROM spot_holder WHERE spot_id = ?", (spot_id,))
    insert_rows(database, models.SpotHolder, ("spot_id", "participant_id"), ((spot_id, key) for key in sorted(holders)))


def write_texts(database: StrictSqlite, rows: Iterable[tuple[int, bytes, str]]) -> None:
    """Keeps free texts under keys chosen beforehand: key, salt, text."""
    insert_rows(database, models.FreeText, ("id", "salt", "text"), rows)


def set_note(database: StrictSqlite, claim_id: int, note_id: int) -> None:
    """Hangs a note on a claim."""
    run(database, "UPDATE claim SET note_id = ? WHERE id = ?", (note_id, claim_id))
