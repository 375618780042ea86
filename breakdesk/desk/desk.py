"""The open desk that every action and every view is given."""

from __future__ import annotations

import getpass
import os
import platform
from dataclasses import dataclass, field, replace
from datetime import datetime
from pathlib import Path

from breakdesk.desk.clock import Clock
from breakdesk.desk.others import Seen
from breakdesk.store.kept_files import files_folder
from breakdesk.store.keys import unlock_quietly
from breakdesk.store.models import StrictSqlite
from breakdesk.store.opening import OpenDesk, open_desk_file
from breakdesk.store.sealing import Sealer
from breakdesk.store.staff import login_of


@dataclass(frozen=True, slots=True)
class Desk:
    """An open desk: its file, its connection, its clock and who sits at it. Used by the thread that opened it."""

    file: OpenDesk
    clock: Clock
    who: str
    machine: str
    sealer: Sealer = field(repr=False)
    seen: Seen = field(default_factory=Seen, repr=False)

    @property
    def database(self) -> StrictSqlite:
        """The connection."""
        return self.file.database

    @property
    def path(self) -> Path:
        """The desk file."""
        return self.file.path

    @property
    def folder(self) -> Path:
        """Where the desk keeps what does not belong in its file: templates, photos, backups."""
        return files_folder(self.path)

    def at(self, clock: Clock) -> Desk:
        """The same desk as of another clock."""
        return replace(self, clock=clock)

    def close(self) -> None:
        """Closes the file."""
        self.file.close()


def initials() -> str:
    """Who acts, where nobody said: BREAKDESK_WHO, or the first letters of the account's name."""
    named = os.environ.get("BREAKDESK_WHO", "").strip()
    if named:
        return named[:12]
    try:
        return getpass.getuser()[:3].upper()
    except (OSError, KeyError, ImportError):
        return "?"


def open_desk(path: Path, clock: Clock | None = None, *, create: bool = False, who: str | None = None) -> Desk:
    """Opens a desk file. Raises store.opening.CannotOpen, whose text is a sentence with its remedy."""
    clock = clock or Clock()
    now: datetime = clock.now()
    opened = open_desk_file(path, now, create=create)
    sealer = Sealer(lambda: unlock_quietly(path))
    return Desk(opened, clock, who or login_of(opened.database) or initials(), platform.node()[:40], sealer)
