"""PostgreSQL as the engine of a desk: the connection, and what is said to it otherwise than to SQLite."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache
from importlib import import_module
from time import monotonic, sleep
from typing import Any

import peewee
from peewee import PostgresqlDatabase, Psycopg3Adapter

SECONDS_TO_CONNECT = 10
FIRST_WAIT, LONGEST_WAIT, LONGEST_PAUSE = 0.25, 30.0, 1.0
"""Seconds before a lost line is tried again, at first and at most; and how long somebody may have to wait for it."""
SECONDS_TO_LISTEN = 0.5
"""How long one wait for news takes, after which the listener looks whether it is still wanted."""
WAIT_FOR_OTHERS_MILLISECONDS = 30_000
IDLE_IN_TRANSACTION_MILLISECONDS = 300_000
_LINE_IS_DOWN = {
    "connect_timeout": SECONDS_TO_CONNECT,
    "keepalives_idle": 10,
    "keepalives_interval": 5,
    "keepalives_count": 3,
    "tcp_user_timeout": 20_000,
}
"""After how long a line on which nothing comes back counts as lost; what the address says of it holds instead."""
ACTIONS_LOCK = 0x62726B01
MIGRATION_LOCK = 0x62726B02
_WITH_PERSONAL_DATA = (
    "participant", "contact", "address", "recipient", "free_text", "search_word", "claim_code", "setting",
)  # fmt: skip
CHANNEL = "breakdesk"
"""On this channel the server tells every desk the number of an action that was just recorded."""
AGAIN = frozenset({"40001", "40P01", "23505"})
"""Serialization failure, deadlock, a key that another desk took: the action may be tried again from its beginning."""


_AS_THE_QUERY_BUILDER_DOES: Any = vars(peewee)["__exception_wrapper__"]
"""Turns the driver's errors into the query builder's."""


class NoDriver(Exception):  # noqa: N818 - named for what a person reads
    """The PostgreSQL driver is not installed."""


def driver() -> Any:
    """The module psycopg, which a desk file keeps out. Raises NoDriver."""
    if sys.modules.get("psycopg", ...) is None:
        del sys.modules["psycopg"]
    try:
        return import_module("psycopg")
    except ImportError as error:
        raise NoDriver(str(error)) from error


class _Adapter(Psycopg3Adapter):
    """The query builder's way to the driver, which is loaded when a server is asked for and not before."""

    def __init__(self) -> None:
        super().__init__()
        status = driver().pq.TransactionStatus
        self.txn_idle, self.txn_inerror, self.txn_unknown = status.IDLE, status.INERROR, status.UNKNOWN

    def check_driver(self) -> None:
        """Nothing to check: the driver is loaded."""

    def get_binary_type(self) -> Any:
        """Bytes are bytes."""
        return bytes

    def connect(self, db: ServerDatabase, **params: Any) -> Any:
        """A connection on which sums of whole numbers come back as whole numbers."""
        psycopg = driver()
        connection = psycopg.connect(**params)
        connection.adapters.register_loader("numeric", _whole_number_loader())
        return connection


@lru_cache(maxsize=1)
def _whole_number_loader() -> type:
    base = import_module("psycopg.adapt").Loader

    class WholeNumber(base):  # type: ignore[misc,valid-type]
        """Every number of a desk is whole; the engine's sums of them are of another type."""

        def load(self, data: Any) -> int:
            return int(bytes(data))

    return WholeNumber


class Retry:
    """When a lost line may be tried again: soon at first, then after twice as long each time, up to the longest."""

    def __init__(self) -> None:
        self._wait = FIRST_WAIT
        self._not_before = 0.0

    def may_try(self) -> bool:
        """Whether it is time; waits for it where that is soon."""
        pause = self._not_before - monotonic()
        if pause > LONGEST_PAUSE:
            return False
        sleep(max(0.0, pause))
        return True

    def failed(self) -> None:
        """Nobody answered."""
        self._not_before = monotonic() + self._wait
        self._wait = min(2 * self._wait, LONGEST_WAIT)

    def succeeded(self) -> None:
        """The line is there again."""
        self.__init__()  # type: ignore[misc]


class ServerDatabase(PostgresqlDatabase):
    """A desk's connection to its server, owned by the thread that opened it."""

    def __init__(self, *given: Any, **named: Any) -> None:
        super().__init__(*given, **named)
        self.retry = Retry()

    psycopg2_adapter = _Adapter
    psycopg3_adapter = _Adapter
    field_types = {  # noqa: RUF012 - peewee reads it from the class
        **PostgresqlDatabase.field_types,
        # Texts are ordered by their characters' numbers, as in a desk file, whatever the server's own language is.
        "TEXT": 'TEXT COLLATE "C"',
    }

    def translated(self, sql: str) -> str:
        """A statement of ours as this engine wants it."""
        return _translated(sql)

    def conflict_update(self, oc: Any, query: Any) -> Any:
        """The words for rows that are there already; one that is to be replaced is changed in every column."""
        if (oc._action or "").lower() == "replace":
            meta = query.model._meta
            rest = [field.column_name for field in meta.sorted_fields if field is not meta.primary_key]
            oc = peewee.OnConflict(preserve=rest, conflict_target=[meta.primary_key.column_name])
        return super().conflict_update(oc, query)

    def ask(self, sql: str, values: Sequence[Any] = ()) -> Any:
        """Runs a statement in this engine's own words; returns the cursor."""
        return self.execute_sql(sql, values)  # type: ignore[no-untyped-call]

    def raw(self) -> Any:
        """The driver's own connection."""
        return self.connection()  # type: ignore[no-untyped-call]

    def use(self, connection: Any) -> None:
        """Takes another connection of the driver in the place of the present one, which is closed."""
        state: Any = self._state  # type: ignore[attr-defined]
        if state.conn is not None:
            state.conn.close()
        state.set_connection(connection)

    def rollback(self) -> None:
        """Takes a transaction back; where the line is down the server has done so itself."""
        try:
            super().rollback()
        except peewee.DatabaseError:
            if self.is_line_up():
                raise

    def is_line_up(self) -> bool:
        """Whether the connection is there, as far as this end of it knows."""
        connection: Any = self._state.conn  # type: ignore[attr-defined]
        return connection is not None and not connection.closed and not connection.broken


@lru_cache(maxsize=1024)
def _translated(sql: str) -> str:
    # A desk file's engine takes an empty list of keys, this one does not.
    return sql.replace("%", "%%").replace("?", "%s").replace("IN ()", "IN (SELECT NULL::bigint WHERE false)")


def connect_server(address: str) -> ServerDatabase:
    """Opens the connection to a desk on a server; the tables are not told of it. Raises the engine's errors, NoDriver.

    TLS is as the address and the environment say; the password comes from the password file or the environment.
    """
    from urllib.parse import parse_qsl, urlsplit

    given = {name.lower() for name, _ in parse_qsl(urlsplit(address).query)}
    defaults = {name: value for name, value in _LINE_IS_DOWN.items() if name not in given}
    wanted: dict[str, Any] = {**defaults, "conninfo": address, "application_name": "breakdesk"}
    database = ServerDatabase("desk", autoconnect=False, **wanted)
    database.connect()
    settings = (
        ("client_encoding", "UTF8"),
        ("search_path", "public"),
        ("lock_timeout", str(WAIT_FOR_OTHERS_MILLISECONDS)),
        ("idle_in_transaction_session_timeout", str(IDLE_IN_TRANSACTION_MILLISECONDS)),
    )
    said = ", ".join("set_config(%s, %s, false)" for _ in settings)
    database.ask(f"SELECT {said}", [part for setting in settings for part in setting])
    return database


def connect_again(database: ServerDatabase) -> None:
    """Takes up a lost connection anew. Raises the engine's errors where the line is still down."""
    fresh = connect_server(database.connect_params["conninfo"])
    database.use(fresh.raw())


def run_many(database: ServerDatabase, statement: str, rows: Iterable[Sequence[Any]]) -> None:
    """Runs one statement of ours for many rows of values."""
    with _AS_THE_QUERY_BUILDER_DOES, database.raw().cursor() as cursor:
        cursor.executemany(_translated(statement), rows)


def next_key(database: ServerDatabase, table: str) -> int:
    """A key that no other desk was or will be given."""
    (key,) = database.ask("SELECT nextval(pg_get_serial_sequence(%s, 'id'))", (table,)).fetchone()
    return int(key)


def set_sequences(database: ServerDatabase, tables: Sequence[str]) -> None:
    """Lets the keys that are given next begin after those that are in some tables."""
    for table in tables:
        database.ask(
            f"SELECT setval(pg_get_serial_sequence('{table}', 'id'), greatest("
            f"(SELECT coalesce(max(id), 0) FROM \"{table}\") + 1, nextval(pg_get_serial_sequence('{table}', 'id'))), "
            "false)"
        )


def forget_free_space(database: ServerDatabase) -> bool:
    """Asks the server to rewrite the tables from which rows were taken; False where this desk may not.

    The server's log and its backups keep what they hold: that is for whoever runs it.
    """
    try:
        database.ask(f"VACUUM FULL {', '.join(_WITH_PERSONAL_DATA)}")
    except peewee.DatabaseError:
        return False
    return True


def latest_action(database: ServerDatabase) -> int:
    """The number of the last action recorded; 0 in an empty history."""
    row = database.ask("SELECT number FROM history_head WHERE id = 1").fetchone()
    return int(row[0]) if row else 0


def state_of(error: BaseException) -> str:
    """The engine's five-character code of an error, however deep it is wrapped; empty where it has none."""
    current: BaseException | None = error
    seen: set[int] = set()
    while current is not None and id(current) not in seen:
        seen.add(id(current))
        state = getattr(current, "sqlstate", None)
        if isinstance(state, str):
            return state
        inner = current.args[0] if current.args and isinstance(current.args[0], BaseException) else None
        current = getattr(current, "orig", None) or inner or current.__cause__ or current.__context__
    return ""


def is_line_down(error: BaseException) -> bool:
    """Whether an error of a server says that nobody answers there (any more)."""
    state = state_of(error)
    if state:
        return state.startswith("08") or state in ("57P01", "57P02", "57P03", "25P03")
    return type(error).__name__ in ("OperationalError", "InterfaceError")


def heard(address: str, ended: Callable[[], bool]) -> Iterator[int]:
    """The number of the last action now, and then of each as it is recorded at any desk, until `ended` says so.

    Raises the engine's errors where the line is lost.
    """
    database = connect_server(address)
    try:
        database.ask(f"LISTEN {CHANNEL}")
        yield latest_action(database)
        connection = database.raw()
        while not ended():
            with _AS_THE_QUERY_BUILDER_DOES:
                told = [note.payload for note in connection.notifies(timeout=SECONDS_TO_LISTEN, stop_after=1)]
            if told:
                yield max((int(number) for number in told if number.isdigit()), default=0)
    finally:
        if not database.is_closed():
            database.close()
