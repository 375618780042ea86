"""Opening a desk file: where it may stand, its tables, and what can go wrong in words."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from breakdesk.store import backups, keys
from breakdesk.store.engine import connect, is_server, run, tables_in
from breakdesk.store.kept_files import private_folder
from breakdesk.store.migrations import NewerDesk, migrate, pending, taken
from breakdesk.store.models import DeskFact, StrictSqlite
from breakdesk.store.places import network_drive
from breakdesk.store.sealing import NoKey, key_path
from breakdesk.store.server import NoDriver
from breakdesk.store.server_address import BadAddress, is_on_server, named
from breakdesk.store.trouble import Trouble, trouble_of


class CannotOpen(Exception):  # noqa: N818 - named for what a person reads
    """A desk file cannot be used; says what is wrong and what to do."""

    def __init__(self, what: str, remedy: str) -> None:
        super().__init__(f"{what} {remedy}")
        self.what = what
        self.remedy = remedy


@dataclass(frozen=True, slots=True)
class OpenDesk:
    """An open desk file and its connection, owned by the thread that opened it."""

    path: Path
    database: StrictSqlite

    def close(self) -> None:
        """Ends the connection; everything acknowledged is in the file already."""
        self.database.close()


def open_desk_file(path: Path, now: datetime, *, create: bool) -> OpenDesk:
    """Opens a desk file, taking the schema steps it lacks. Raises CannotOpen with a sentence."""
    try:
        _prepare(path, create=create)
        database = connect(path)
    except CannotOpen:
        raise
    except BadAddress as error:
        raise CannotOpen(str(error), "Name the desk by its address: postgresql://USER@HOST/DATABASE.") from None
    except NoDriver:
        raise CannotOpen(
            f"{named(path)} is on a PostgreSQL server, and what speaks to one is not installed.",
            "Install the extra: `pip install 'breakdesk[postgres]'`.",
        ) from None
    except Exception as error:
        raise _cannot_open(path, error) from error
    try:
        _bring_up_to_date(path, database, now, create=create)
    except NewerDesk as error:
        database.close()
        raise CannotOpen(
            f"{named(path)} was written by a newer Breakdesk.", "Install the newest version, then open it again."
        ) from error
    except CannotOpen:
        database.close()
        raise
    except Exception as error:
        database.close()
        raise _cannot_open(path, error) from error
    return OpenDesk(path, database)


def _prepare(path: Path, *, create: bool) -> None:
    """Looks at where the desk stands and makes an empty file where a desk is to be made."""
    if is_on_server(path):
        return
    kind = network_drive(path)
    if kind is not None:
        raise CannotOpen(
            f"{path} is on a network drive ({kind}).",
            "There two programs can write at once without seeing each other, which damages a desk. Name a file on this "
            "machine's own disk, and copy backups to the network drive instead.",
        )
    if path.is_dir():
        raise CannotOpen(f"{path} is a folder.", "Name a file, such as desk.db in that folder.")
    if not path.exists():
        if not create:
            raise CannotOpen(
                f"There is no desk at {path}.", "Load files with `breakdesk load FILE…` to make one, or name another."
            )
        private_folder(path.parent)
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT, 0o600))
    is_new = path.stat().st_size == 0
    if is_new and not create:
        raise CannotOpen(f"{path} is empty, so it is no desk.", f"Name another file. {_way_back(path)}".strip())
    if not is_new and (tables := tables_in(path)) and "migration" not in tables:
        raise CannotOpen(f"{path} is not a desk.", "Name another file; this one was left as it is.")


def _bring_up_to_date(path: Path, database: StrictSqlite, now: datetime, *, create: bool) -> None:
    if is_server(database):
        _look_at_the_server(path, database, create=create)
    is_older = taken(database) > 0 and bool(pending(database)) and not is_server(database)
    if is_older:
        made = backups.take(path, now, reason=backups.BEFORE_UPDATE)
        if isinstance(made, Trouble):
            raise CannotOpen(
                f"{path} has to be brought up to date, and the backup before it could not be made: {made.what}",
                f"{made.remedy} The desk was left as it is.",
            )
    migrate(database, now)
    if is_older:
        _check_after_the_steps(path, database)
    if not DeskFact.select().where(DeskFact.name == "desk_id").exists():
        DeskFact.insert(name="desk_id", value=os.urandom(8).hex()).on_conflict_ignore().execute()
    try:
        keys.ensure_first_way(database, path)
    except NoKey:
        raise CannotOpen(
            f"{key_path(path)} is in the way: a new desk needs a key file of that name.",
            "Move it away, then try again.",
        ) from None


def _look_at_the_server(path: Path, database: StrictSqlite, *, create: bool) -> None:
    if taken(database) > 0:
        return
    if database.get_tables():
        raise CannotOpen(f"{named(path)} is not a desk.", "Name another database; this one was left as it is.")
    if not create:
        raise CannotOpen(
            f"{named(path)} is an empty database.",
            "Load files with `breakdesk load FILE…`, or move a desk there with `breakdesk move`.",
        )


def _check_after_the_steps(path: Path, database: StrictSqlite) -> None:
    found = run(database, "PRAGMA integrity_check(1)").fetchone()[0]
    if found != "ok":
        raise CannotOpen(f"{path} did not come out whole when it was brought up to date: {found}.", _way_back(path))


def _way_back(path: Path) -> str:
    return backups.way_back(path) if backups.backups_of(path) else ""


def _cannot_open(path: Path, error: Exception) -> Exception:
    trouble = trouble_of(error, path)
    if trouble is None:
        return error
    if trouble.is_damage:
        return CannotOpen(trouble.what, _way_back(path) or trouble.remedy)
    return CannotOpen(trouble.what, trouble.remedy)
