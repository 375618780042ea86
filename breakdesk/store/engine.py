"""The one place that knows which database engine it is: opening, pragmas and bulk inserts."""

from __future__ import annotations

import sys
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any

# peewee imports both PostgreSQL drivers on sight, which costs more than opening a desk file.
for _driver in ("psycopg", "psycopg2"):
    sys.modules.setdefault(_driver, None)  # type: ignore[arg-type]

from breakdesk.store.models.base import StrictSqlite, Table, database_proxy  # noqa: E402

BUSY_TIMEOUT_SECONDS = 30


def connect_file(path: Path) -> StrictSqlite:
    """Opens the connection to a desk file; the calling thread owns it until it is closed."""
    database = StrictSqlite(
        str(path),
        autoconnect=False,
        lock_type="IMMEDIATE",
        timeout=BUSY_TIMEOUT_SECONDS,
        pragmas={"journal_mode": "wal", "foreign_keys": 1, "synchronous": "full", "temp_store": "memory"},
    )
    database_proxy.initialize(database)
    database.connect()
    return database


def run(database: StrictSqlite, sql: str, values: Sequence[Any] = ()) -> Any:
    """Runs one statement of ours with values from anywhere; returns the cursor with its rows in stored form."""
    return database.execute_sql(sql, tuple(values))  # type: ignore[no-untyped-call]


def insert_rows(
    database: StrictSqlite, table: type[Table], columns: Sequence[str], rows: Iterable[Sequence[Any]]
) -> None:
    """Inserts rows of already stored-form values (ISO days, microseconds, 0 and 1), without one object a row."""
    names = ", ".join(f'"{column}"' for column in columns)
    marks = ", ".join("?" for _ in columns)
    connection = database.connection()  # type: ignore[no-untyped-call]
    connection.executemany(f'INSERT INTO "{table._meta.table_name}" ({names}) VALUES ({marks})', rows)


def next_id(table: type[Table]) -> int:
    """The key that the next row of a table may take, inside the transaction that will take it."""
    from peewee import fn

    last = table.select(fn.MAX(table.id)).scalar()
    return int(last or 0) + 1


def changed_elsewhere(database: StrictSqlite) -> int:
    """A number that differs once another program has written to the desk."""
    return int(run(database, "PRAGMA data_version").fetchone()[0])
