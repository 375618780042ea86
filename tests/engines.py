"""Which engine the tests run on, and a PostgreSQL server for those that need one.

`BREAKDESK_TEST_ENGINE=postgresql` makes every desk that a test opens a database on a server instead of a file.
`BREAKDESK_TEST_SERVER` names a server to use (postgresql://USER@HOST:PORT/postgres); otherwise one is started for the
run from Debian's packages, where they are installed, and thrown away afterwards.
"""

from __future__ import annotations

import os
import shutil
import sqlite3
import subprocess
import sys
import tempfile
from contextlib import suppress
from functools import cache
from pathlib import Path
from secrets import token_hex
from typing import Any

ON_SERVER = os.environ.get("BREAKDESK_TEST_ENGINE", "") == "postgresql"
SERVER = "BREAKDESK_TEST_SERVER"
NO_SERVER = (
    "no PostgreSQL at hand: install the extra `breakdesk[postgres]` and Debian's package `postgresql`, "
    f"or name a server in {SERVER}"
)
PREFIX = "breakdesk-pg-"
ROOM_NEEDED = 6 * 1024**3
_FAST = "-c fsync=off -c synchronous_commit=off -c full_page_writes=off -c max_connections=100 -c shared_buffers=64MB"


class Server:
    """A server for one run of the tests: started in a folder of its own, and gone afterwards."""

    def __init__(self, programs: Path, *, fast: bool = True) -> None:
        """A `fast` one forgets what it was told when the machine stops, which tests need not care about."""
        self.programs = programs
        self._settings = _FAST if fast else "-c max_connections=100"
        remove_left_over(programs)
        self.folder = Path(tempfile.mkdtemp(prefix=f"{PREFIX}{os.getpid()}-", dir=_quick_folder() if fast else "/tmp"))
        self._as_postgres = os.geteuid() == 0
        if self._as_postgres:
            shutil.chown(self.folder, "postgres")
        self._run("initdb", "-D", self.data, "-U", "postgres", "--auth=trust", "-E", "UTF8", "--locale=C", "--no-sync")
        self.start()
        self.address = f"postgresql://postgres@/postgres?host={self.folder}"

    @property
    def data(self) -> str:
        """Where the server keeps its files."""
        return str(self.folder / "data")

    def start(self) -> None:
        """Starts the server and waits until it answers."""
        options = f"-k {self.folder} -c listen_addresses='' {self._settings}"
        self._run("pg_ctl", "-D", self.data, "-l", str(self.folder / "log"), "-w", "-o", options, "start")

    def stop(self, mode: str = "immediate") -> None:
        """Stops the server."""
        self._run("pg_ctl", "-D", self.data, "-m", mode, "-w", "stop")

    def remove(self) -> None:
        """Stops the server and takes its folder away."""
        self.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _run(self, program: str, *arguments: str) -> None:
        command = [str(self.programs / program), *arguments]
        if self._as_postgres:
            command = ["setpriv", "--reuid=postgres", "--regid=postgres", "--clear-groups", *command]
        # What the server leaves running must not hold on to our pipes.
        with (self.folder / "said").open("ab") as said:
            subprocess.run(command, check=True, stdin=subprocess.DEVNULL, stdout=said, stderr=said, cwd=self.folder)


def remove_left_over(programs: Path) -> None:
    """Stops and removes the servers of runs that were killed: each folder names the process that made it."""
    for folder in (path for place in ("/dev/shm", "/tmp") for path in Path(place).glob(f"{PREFIX}*-*")):
        run = folder.name.removeprefix(PREFIX).partition("-")[0]
        if run.isdigit() and not Path(f"/proc/{run}").exists() and Path("/proc/self").exists():
            server = Server.__new__(Server)
            server.programs, server.folder, server._as_postgres = programs, folder, os.geteuid() == 0
            with suppress(subprocess.CalledProcessError, OSError):
                server.stop()
            shutil.rmtree(folder, ignore_errors=True)


def _quick_folder() -> str:
    """A folder in memory where there is plenty: each desk is 150 files, and a disk takes ten times as long for them."""
    memory = Path("/dev/shm")
    return str(memory) if memory.is_dir() and shutil.disk_usage(memory).free > ROOM_NEEDED else "/tmp"


def programs() -> Path | None:
    """Where the server's programs are; None where a server can neither be started nor spoken to."""
    if sys.platform == "win32" or not _has_driver():
        return None
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    plain = shutil.which("initdb")
    places = ([Path(plain).resolve().parent] if plain else []) + [path.parent for path in found]
    return places[-1] if places else None


@cache
def _has_driver() -> bool:
    from importlib.util import find_spec

    # A desk file keeps the driver out by a mark in the list of modules, at which the search would stumble.
    was = sys.modules.pop("psycopg", None)
    try:
        return find_spec("psycopg") is not None
    finally:
        if was is not None or "psycopg" not in sys.modules:
            sys.modules["psycopg"] = was  # type: ignore[assignment]


def server_address() -> str | None:
    """The server of this run; None where there is none."""
    return os.environ.get(SERVER) if _has_driver() else None


def with_database(address: str, name: str) -> str:
    """The address of a database on the same server."""
    from urllib.parse import urlsplit, urlunsplit

    return urlunsplit(urlsplit(address)._replace(path=f"/{name}"))


def _administer(statement: str) -> Any:
    from breakdesk.store.server import driver

    with driver().connect(server_address(), autocommit=True) as connection:
        connection.execute(statement)


@cache
def _template() -> str:
    """A database with today's tables and nothing in them, of which the others are copies."""
    from datetime import UTC, datetime
    from typing import cast

    from breakdesk.store.migrations import migrate
    from breakdesk.store.models import StrictSqlite
    from breakdesk.store.server import connect_server

    name = f"template_{token_hex(4)}"
    _administer(f"CREATE DATABASE {name}")
    address = server_address()
    assert address is not None
    database = connect_server(with_database(address, name))
    migrate(cast("StrictSqlite", database), datetime(2026, 1, 1, tzinfo=UTC))
    database.close()
    return name


def new_database() -> str:
    """The address of a new, empty desk on the server."""
    address = server_address()
    assert address is not None
    name = f"desk_{token_hex(6)}"
    _administer(f"CREATE DATABASE {name} TEMPLATE {_template()} STRATEGY FILE_COPY")
    return with_database(address, name)


def change_by_hand(path: Path, *statements: str) -> None:
    """Runs statements on a desk as any other program could that may do everything there."""
    from breakdesk.store.server import driver
    from breakdesk.store.server_address import address_in

    address = address_in(path)
    connection: Any = sqlite3.connect(path) if address is None else driver().connect(address)
    try:
        if address is not None:
            # As in a file that is opened without its references being watched.
            connection.execute("SET session_replication_role = replica")
        for statement in statements:
            connection.execute(statement)
        connection.commit()
    finally:
        connection.close()


def put_on_server(path: Path) -> None:
    """Lets the desk that is going to be made at a path be one on the server."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(new_database() + "\n", encoding="utf-8")
