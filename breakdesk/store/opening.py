"""Opening a desk file: where it may stand, its tables, and what can go wrong in words."""

from __future__ import annotations

import os
import sqlite3
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from breakdesk.store.engine import connect_file, tables_in
from breakdesk.store.migrations import NewerDesk, migrate
from breakdesk.store.models import DeskFact, StrictSqlite


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
    if not create and not path.exists():
        raise CannotOpen(
            f"There is no desk at {path}.", "Load files with `breakdesk load FILE…` to make one, or name another."
        )
    if path.is_dir():
        raise CannotOpen(f"{path} is a folder.", "Name a file, such as desk.db in that folder.")
    try:
        if create:
            path.parent.mkdir(parents=True, exist_ok=True)
        _only_for_its_owner(path)
        is_new = path.stat().st_size == 0
        if is_new and not create:
            raise CannotOpen(f"{path} is empty, so it is no desk.", "Open a backup of it, or name another file.")
        if not is_new and (tables := tables_in(path)) and "migration" not in tables:
            raise CannotOpen(f"{path} is not a desk.", "Name another file; this one was left as it is.")
        database = connect_file(path)
    except CannotOpen:
        raise
    except OSError as error:
        raise CannotOpen(f"{path} cannot be opened: {error.strerror}.", "Check the folder and its rights.") from error
    except Exception as error:
        raise CannotOpen(*_reason(path, error)) from error
    try:
        migrate(database, now)
        DeskFact.insert(name="desk_id", value=os.urandom(8).hex()).on_conflict_ignore().execute()
    except NewerDesk as error:
        database.close()
        raise CannotOpen(
            f"{path} was written by a newer Breakdesk.", "Install the newest version, then open it again."
        ) from error
    except Exception as error:
        database.close()
        raise CannotOpen(*_reason(path, error)) from error
    return OpenDesk(path, database)


def _only_for_its_owner(path: Path) -> None:
    if not path.exists():
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT, 0o600))


def _reason(path: Path, error: Exception) -> tuple[str, str]:
    cause = error.__cause__ or error.__context__ or error
    text = str(error)
    if "not a database" in text or "malformed" in text:
        return f"{path} is not a desk, or it is damaged.", "Open a backup of it, or name another file."
    if "locked" in text:
        return f"{path} is in use by another program.", "Close that program, then try again."
    if "readonly" in text or "unable to open" in text or isinstance(cause, PermissionError):
        return f"{path} cannot be written.", "Check that the folder and the file may be written by you."
    if "full" in text:
        return f"The disk that holds {path} is full.", "Free some space, then try again; nothing was lost."
    if isinstance(cause, sqlite3.Error) or isinstance(error, sqlite3.Error):
        return f"{path} cannot be used: {text}.", "Open a backup of it, or name another file."
    raise error
