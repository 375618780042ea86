"""A whole desk copied between the two engines, table by table, and measured at both ends before it counts."""

from __future__ import annotations

import base64
import hashlib
import json
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, cast

from peewee import ForeignKeyField

from breakdesk.store import chain, server
from breakdesk.store.engine import connect_aside, is_server, references_to_nothing, run, run_many
from breakdesk.store.migrations import pending, steps
from breakdesk.store.models import TABLES, StrictSqlite
from breakdesk.store.models.base import Table
from breakdesk.store.server_address import address_in

ROWS_AT_ONCE = 5000
_SUMMED = (("claim", "value"), ("claim", "settled_amount"), ("claim", "closed_amount"), ("spot", "price"))


class CannotMove(Exception):  # noqa: N818 - named for what a person reads
    """The copy cannot be made, or did not come out the same; says why. The target holds nothing of it."""


@dataclass(frozen=True, slots=True)
class Moved:
    """What was copied and found the same at both ends. `sums` are minor units, whatever the currency, by column."""

    rows: dict[str, int]
    sums: dict[str, int]
    actions: int
    hash: str


def copy_desk(source_path: Path, target_path: Path, tell: Callable[[str], None]) -> Moved:
    """Copies a desk, as it is at one moment, into an empty file or database. Raises CannotMove, the engine's errors.

    The source is only read. `tell` hears the name of each table as it is begun.
    """
    source = _open(source_path, writable=False)
    try:
        target = _open(target_path, writable=True)
        try:
            _begin_reading(source)
            _require_room(source, target)
            _begin_writing(target)
            for table in TABLES:
                if table._meta.table_name != "migration":
                    tell(table._meta.table_name)
                    _copy(source, target, table)
            moved = _compared(source, target)
            run(target, "COMMIT")
            run(source, "ROLLBACK")
            return moved
        finally:
            target.close()
    finally:
        source.close()


def _open(path: Path, *, writable: bool) -> StrictSqlite:
    address = address_in(path)
    if address is None:
        return connect_aside(path, writable=writable)
    return cast("StrictSqlite", server.connect_server(address))


def _begin_reading(source: StrictSqlite) -> None:
    run(source, "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY" if is_server(source) else "BEGIN")


def _require_room(source: StrictSqlite, target: StrictSqlite) -> None:
    known = steps(on_server=is_server(source))
    if pending(source):
        raise CannotMove(f"it was written by an older Breakdesk: open it once, then move it (step {known[-1].number})")
    if target.get_tables():
        raise CannotMove("the place it is to go to holds something already")


def _begin_writing(target: StrictSqlite) -> None:
    if not is_server(target):
        run(target, "PRAGMA foreign_keys = OFF")
        run(target, "BEGIN IMMEDIATE")
    else:
        run(target, "BEGIN")
    for step in steps(on_server=is_server(target)):
        for statement in step.statements:
            run(target, statement)
    run(target, "DELETE FROM history_head")


def copy_steps(source: StrictSqlite, target: StrictSqlite) -> None:
    """The record of the schema steps, with the days on which the source took them."""
    rows = run(source, "SELECT number, name, applied_at FROM migration ORDER BY number").fetchall()
    run_many(target, "INSERT INTO migration (number, name, applied_at) VALUES (?, ?, ?)", rows)


def _copy(source: StrictSqlite, target: StrictSqlite, table: type[Table]) -> None:
    name, columns = table._meta.table_name, _columns(table)
    listed, marks = ", ".join(f'"{column}"' for column in columns), ", ".join("?" for _ in columns)
    # A row may refer to a later one of its own table: such references are written once all rows are there.
    own = _references_to_itself(table)
    places = [columns.index(column) for column in own]
    later: list[tuple[Any, ...]] = []
    rows = run(source, f'SELECT {listed} FROM "{name}" ORDER BY 1')
    while chunk := rows.fetchmany(ROWS_AT_ONCE):
        if own:
            later += [(*(row[place] for place in places), row[0]) for row in chunk if any(row[p] for p in places)]
            chunk = [tuple(None if place in places else said for place, said in enumerate(row)) for row in chunk]
        run_many(target, f'INSERT INTO "{name}" ({listed}) VALUES ({marks})', chunk)
    if later:
        assigned = ", ".join(f'"{column}" = ?' for column in own)
        run_many(target, f'UPDATE "{name}" SET {assigned} WHERE "{columns[0]}" = ?', later)


def _key(table: type[Table]) -> Any:
    return table._meta.primary_key


def _columns(table: type[Table]) -> list[str]:
    key = _key(table).column_name
    return [key, *(field.column_name for field in table._meta.sorted_fields if field.column_name != key)]


def _references_to_itself(table: type[Table]) -> list[str]:
    fields = table._meta.sorted_fields
    return [field.column_name for field in fields if isinstance(field, ForeignKeyField) and field.rel_model is table]


def _compared(source: StrictSqlite, target: StrictSqlite) -> Moved:
    copy_steps(source, target)
    rows: dict[str, int] = {}
    for table in TABLES:
        name = table._meta.table_name
        before, after = _measured(source, table), _measured(target, table)
        if before != after:
            raise CannotMove(f"the table {name} did not come out the same")
        rows[name] = after[0]
    sums = {}
    for name, column in _SUMMED:
        sql = f"SELECT coalesce(sum({column}), 0) FROM {name}"
        before_sum, after_sum = (int(run(database, sql).fetchone()[0]) for database in (source, target))
        if before_sum != after_sum:
            raise CannotMove(f"the sum of {column} in {name} did not come out the same")
        sums[f"{name}.{column}"] = after_sum
    broken = next(chain.broken_links(target), None) or next(references_to_nothing(target), None)
    if broken is not None:
        raise CannotMove(f"its history does not hold there: {broken}")
    if chain.head_of(source) != chain.head_of(target):
        raise CannotMove("its history does not end as it should")
    if is_server(target):
        keyed = [table._meta.table_name for table in TABLES if _key(table).field_type == "BIGAUTO"]
        server.set_sequences(cast("server.ServerDatabase", target), keyed)
    return Moved(rows, sums, *chain.head_of(target))


def _measured(database: StrictSqlite, table: type[Table]) -> tuple[int, str]:
    """How many rows a table has, and a digest over all they say, spelled the same for both engines."""
    running, count = hashlib.sha256(), 0
    for row in _all_rows(database, table):
        said = [base64.b64encode(value).decode() if isinstance(value, bytes | memoryview) else value for value in row]
        running.update(json.dumps(said, ensure_ascii=True, separators=(",", ":")).encode() + b"\n")
        count += 1
    return count, running.hexdigest()


def _all_rows(database: StrictSqlite, table: type[Table]) -> Iterator[Sequence[Any]]:
    listed = ", ".join(f'"{column}"' for column in _columns(table))
    rows = run(database, f'SELECT {listed} FROM "{table._meta.table_name}" ORDER BY 1')
    while chunk := rows.fetchmany(ROWS_AT_ONCE):
        yield from chunk
