"""The one place that knows which database engine it is: opening, pragmas and bulk inserts."""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any

# peewee imports both PostgreSQL drivers on sight, which costs more than opening a desk file.
for _driver in ("psycopg", "psycopg2"):
    sys.modules.setdefault(_driver, None)  # type: ignore[arg-type]

import peewee  # noqa: E402

from breakdesk.store.models.base import StrictSqlite, Table, database_proxy  # noqa: E402

BUSY_TIMEOUT_SECONDS = 30
ENGINE_ERRORS = (peewee.DatabaseError, sqlite3.DatabaseError)
"""What the engine raises, through the query builder and past it."""


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


def connect_aside(path: Path, *, writable: bool = False) -> StrictSqlite:
    """Opens a further connection to a desk or a backup, which the tables know nothing of; reads only, unless told."""
    mode = "rw" if writable else "ro"
    database = StrictSqlite(
        f"{path.absolute().as_uri()}?mode={mode}",
        uri=True,
        autoconnect=False,
        timeout=BUSY_TIMEOUT_SECONDS,
        pragmas={"temp_store": "memory", "foreign_keys": 1},
    )
    database.connect()
    return database


def copy_file(source: StrictSqlite, target: Path) -> None:
    """Copies a desk into an empty file while others go on reading and writing it (SQLite's online backup)."""
    copy = sqlite3.connect(target)
    try:
        source.connection().backup(copy)  # type: ignore[no-untyped-call]
        # A backup is one file: it needs no write-ahead log beside it.
        copy.execute("PRAGMA journal_mode = DELETE").fetchone()
    finally:
        copy.close()


def tables_in(path: Path) -> set[str]:
    """The names of a file's tables, read without changing anything in it."""
    with closing(sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True)) as connection:
        return {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}


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


def damages_found(database: StrictSqlite) -> Iterator[str]:
    """A sentence for each damage that the engine finds in the desk file, and for each row that refers to nothing."""
    for row in run(database, "PRAGMA integrity_check"):
        if row[0] != "ok":
            yield f"The desk file is damaged: {row[0]}."
    for row in run(database, "PRAGMA foreign_key_check"):
        yield f"A row of {row[0]} refers to something that is not there."


@contextmanager
def references_unenforced(database: StrictSqlite) -> Iterator[None]:
    """Lets a schema step make a table anew without losing the rows that refer to it. Call outside any transaction."""
    run(database, "PRAGMA foreign_keys = OFF")
    try:
        yield
    finally:
        run(database, "PRAGMA foreign_keys = ON")


def forget_free_space(database: StrictSqlite) -> bool:
    """Rewrites the file so that nothing taken out of it can be read from its free space; False where others hold it.

    Call outside any transaction.
    """
    try:
        run(database, "VACUUM")
        busy = run(database, "PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    except ENGINE_ERRORS:
        return False
    return not busy
