"""The one place that knows which of the two database engines it is: a desk file's SQLite, or a server's PostgreSQL."""

from __future__ import annotations

import sqlite3
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any, cast

# peewee imports both PostgreSQL drivers on sight, which costs more than opening a desk file.
for _driver in ("psycopg", "psycopg2"):
    sys.modules.setdefault(_driver, None)  # type: ignore[arg-type]

import peewee  # noqa: E402
from peewee import fn  # noqa: E402

from breakdesk.store import server  # noqa: E402
from breakdesk.store.models.base import StrictSqlite, Table, database_proxy  # noqa: E402
from breakdesk.store.server import ServerDatabase  # noqa: E402
from breakdesk.store.server_address import address_in  # noqa: E402

BUSY_TIMEOUT_SECONDS = 30
SECONDS_BETWEEN_LOOKS = 0.3
"""How often a desk file is asked whether another program has written to it."""
ENGINE_ERRORS = (peewee.DatabaseError, peewee.InterfaceError, sqlite3.DatabaseError)
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


def connect(path: Path) -> StrictSqlite:
    """Opens the connection to a desk, in a file or on a server; the calling thread owns it until it is closed."""
    address = address_in(path)
    if address is None:
        return connect_file(path)
    database = server.connect_server(address)
    database_proxy.initialize(database)
    return cast("StrictSqlite", database)


def is_server(database: StrictSqlite) -> bool:
    """Whether a connection goes to a server."""
    return isinstance(getattr(database, "obj", database), ServerDatabase)


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
    return database.execute_sql(database.translated(sql), tuple(values))  # type: ignore[no-untyped-call]


def insert_rows(
    database: StrictSqlite, table: type[Table], columns: Sequence[str], rows: Iterable[Sequence[Any]]
) -> None:
    """Inserts rows of already stored-form values (ISO days, microseconds, 0 and 1), without one object a row."""
    names = ", ".join(f'"{column}"' for column in columns)
    marks = ", ".join("?" for _ in columns)
    run_many(database, f'INSERT INTO "{table._meta.table_name}" ({names}) VALUES ({marks})', rows)


def run_many(database: StrictSqlite, statement: str, rows: Iterable[Sequence[Any]]) -> None:
    """Runs one statement of ours for many rows of values."""
    if isinstance(database, ServerDatabase):
        server.run_many(database, statement, rows)
    else:
        database.connection().executemany(statement, rows)  # type: ignore[no-untyped-call]


def next_id(table: type[Table]) -> int:
    """The key that the next row of a table may take, inside the transaction that will take it."""
    database = database_proxy.obj
    if isinstance(database, ServerDatabase):
        return server.next_key(database, table._meta.table_name)
    last = table.select(fn.MAX(table.id)).scalar()
    return int(last or 0) + 1


def keys_were_chosen(database: StrictSqlite, tables: Iterable[type[Table]]) -> None:
    """Says that rows were written under keys chosen beforehand, so that the next keys come after them."""
    if isinstance(database, ServerDatabase):
        server.set_sequences(database, [table._meta.table_name for table in tables])


def changed_elsewhere(database: StrictSqlite) -> int:
    """A number that differs once another program has written to the desk."""
    if isinstance(database, ServerDatabase):
        return server.latest_action(database)
    return int(run(database, "PRAGMA data_version").fetchone()[0])


def alone(database: StrictSqlite) -> None:
    """Lets the transaction under way wait for all others, and all others for it; a desk file's always are alone."""
    if isinstance(database, ServerDatabase):
        run(database, "SELECT pg_advisory_xact_lock(?)", (server.ACTIONS_LOCK,))


def beside_others(database: StrictSqlite) -> None:
    """Lets the transaction under way go on beside others that lock what they change, and wait for those alone."""
    if isinstance(database, ServerDatabase):
        run(database, "SELECT pg_advisory_xact_lock_shared(?)", (server.ACTIONS_LOCK,))


def at_one_moment(database: StrictSqlite) -> None:
    """Shows the transaction under way the desk as it was when it began; a desk file's always see it so."""
    if isinstance(database, ServerDatabase):
        run(database, "SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")


def lock_rows(database: StrictSqlite, table: str, keys: Iterable[int]) -> None:
    """Keeps others from changing some rows until the transaction ends; in a desk file nobody else can anyway."""
    wanted = sorted(set(keys))
    if wanted and isinstance(database, ServerDatabase):
        run(database, f'SELECT id FROM "{table}" WHERE id = ANY(?) ORDER BY id FOR NO KEY UPDATE', (wanted,))


def by_index(database: StrictSqlite, name: str) -> str:
    """The words that let a desk file's engine take a certain index; a server chooses well by itself."""
    return "" if isinstance(database, ServerDatabase) else f"INDEXED BY {name}"


def known_addresses(database: StrictSqlite) -> str:
    """The table from which the rules learn of addresses; a server keeps the addresses themselves from who streams."""
    return "address_known" if is_server(database) else "address"


def is_value(column: str, value: Any) -> str:
    """The condition that a column holds a value or, where that is None, nothing; takes the value once, if any."""
    # Written apart, because only so do both engines look it up in an index.
    return f"{column} IS NULL" if value is None else f"{column} = ?"


def line_came_back(database: StrictSqlite, error: BaseException) -> bool:
    """Where an error says that the line to the server was lost: whether it is there again, taken up anew."""
    inner = getattr(database, "obj", database)
    if not isinstance(inner, ServerDatabase) or not server.is_line_down(error) or not inner.retry.may_try():
        return False
    try:
        server.connect_again(inner)
    except ENGINE_ERRORS:
        inner.retry.failed()
        return False
    inner.retry.succeeded()
    return True


def line_is_down(database: StrictSqlite) -> bool:
    """Whether a desk is on a server to which the line was lost and not taken up again."""
    inner = getattr(database, "obj", database)
    return isinstance(inner, ServerDatabase) and not inner.is_line_up()


def news_of(path: Path, ended: Callable[[float], bool]) -> Iterator[int]:
    """The number of the last action, each time that one was recorded at any desk, until `ended` says so.

    On a connection of its own. `ended` waits for so many seconds at most and tells whether to end. Raises the engine's
    errors where the line is lost.
    """
    address = address_in(path)
    if address is not None:
        yield from server.heard(address, lambda: ended(0))
        return
    database = connect_aside(path)
    try:
        before = changed_elsewhere(database)
        while not ended(SECONDS_BETWEEN_LOOKS):
            now = changed_elsewhere(database)
            if now != before:
                before = now
                row = run(database, "SELECT number FROM history_head WHERE id = 1").fetchone()
                yield 0 if row is None else int(row[0])
    finally:
        database.close()


def can_be_tried_again(database: StrictSqlite, error: BaseException) -> bool:
    """Whether desks got in each other's way, so that the transaction may be begun anew."""
    return is_server(database) and server.state_of(error) in server.AGAIN


def damages_found(database: StrictSqlite) -> Iterator[str]:
    """A sentence for each damage that the engine finds in the desk file, and for each row that refers to nothing."""
    if isinstance(database, ServerDatabase):
        # A server checks its references itself, and its pages where it was set up to.
        return
    for row in run(database, "PRAGMA integrity_check"):
        if row[0] != "ok":
            yield f"The desk file is damaged: {row[0]}."
    for table in references_to_nothing(database):
        yield f"A row of {table} refers to something that is not there."


def references_to_nothing(database: StrictSqlite) -> Iterator[str]:
    """The table of each row that refers to a row that is not there; a server lets none be written."""
    if not is_server(database):
        for row in run(database, "PRAGMA foreign_key_check"):
            yield row[0]


@contextmanager
def references_unenforced(database: StrictSqlite) -> Iterator[None]:
    """Lets a schema step make a table anew without losing the rows that refer to it. Call outside any transaction."""
    if is_server(database):
        # Made anew with ALTER TABLE, which keeps every reference.
        yield
        return
    run(database, "PRAGMA foreign_keys = OFF")
    try:
        yield
    finally:
        run(database, "PRAGMA foreign_keys = ON")


def forget_free_space(database: StrictSqlite) -> bool:
    """Rewrites the file so that nothing taken out of it can be read from its free space; False where others hold it.

    Call outside any transaction.
    """
    if isinstance(database, ServerDatabase):
        return server.forget_free_space(database)
    try:
        run(database, "VACUUM")
        busy = run(database, "PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    except ENGINE_ERRORS:
        return False
    return not busy
