"""Backups as a person and the screen ask for them: at the start and the end of a session, each hour, and by hand."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path

from breakdesk.desk.clock import Clock
from breakdesk.desk.log import Entry, log
from breakdesk.desk.problems import Problem
from breakdesk.rules.wording import counted
from breakdesk.store import backups
from breakdesk.store.backup_files import Proof
from breakdesk.store.backups import Taken
from breakdesk.store.sealing import key_path
from breakdesk.store.server_address import is_on_server, named
from breakdesk.store.trouble import Trouble

START_AFTER_SECONDS = 2.0
"""A session's first backup waits until the first picture stands."""
EVERY_SECONDS = 3600.0
SERVERS_REMEDY = "Ask who runs it when they were last made and tried. `breakdesk move` copies the desk into a file."
MOST_NOTES = 3
OFTEN_ENOUGH = timedelta(days=1)
"""How old the newest backup may be before a command makes another."""


@dataclass(frozen=True, slots=True)
class Restored:
    """A desk made from a backup."""

    path: Path
    said: str
    missing: tuple[str, ...] = ()
    """A sentence for each photo or file that could not be brought back."""


def made_elsewhere(desk_path: Path) -> Problem | None:
    """Why no backups of a desk are made here: it is on a server; None for a desk file."""
    if not is_on_server(desk_path):
        return None
    return Problem(f"{named(desk_path)} is on a server: its backups are made there, not here.", SERVERS_REMEDY)


def back_up(desk_path: Path, clock: Clock, target: Path | None = None) -> Taken | Problem:
    """Makes a backup of a desk with its files, proves it, and lets the desk's own that had their time go."""
    now = clock.now()
    refused = _in_the_way(target) if target is not None else None
    if refused is not None:
        return refused
    elsewhere = made_elsewhere(desk_path)
    if elsewhere is not None:
        return elsewhere
    if not desk_path.is_file():
        return Problem(
            f"There is no desk at {desk_path}.", "Name the desk before the command: `breakdesk --desk PATH`."
        )
    made = backups.take(desk_path, now, target)
    if isinstance(made, Trouble):
        log(Entry.DAMAGED if made.is_damage else Entry.NOT_BACKED_UP)
        return Problem(made.what, made.remedy)
    log(Entry.NOT_WHOLE if made.notes else Entry.BACKED_UP, bytes=made.path.stat().st_size)
    if target is None:
        backups.rotate(desk_path, now)
    return made


def _in_the_way(path: Path) -> Problem | None:
    """Why a new file cannot have this name; None where nothing stands there."""
    try:
        if path.exists():
            return Problem(f"{path} exists already, and it was left as it is.", "Name a new file.")
    except (OSError, ValueError):
        return Problem("No file can have that name.", "Name another one.")
    return None


def back_up_when_due(desk_path: Path, clock: Clock) -> Problem | None:
    """Makes a backup where the newest is older than a day: for those who work without the screen.

    A desk at which nothing was done yet gets none.
    """
    if is_on_server(desk_path):
        return None
    newest = next(iter(backups.backups_of(desk_path)), None)
    if newest is not None and clock.now() - newest.made_at < OFTEN_ENOUGH:
        return None
    if not backups.has_history(desk_path):
        return None
    made = back_up(desk_path, clock)
    return made if isinstance(made, Problem) else None


@contextmanager
def session(desk_path: Path, clock: Clock, tell: Callable[[str], None]) -> Iterator[None]:
    """Makes a backup soon after the session started, one each hour, and one when it ends.

    They are made on a thread and a connection of their own, so that nobody waits. `tell` is called from that thread,
    and at the end from this one, with a sentence where a backup could not be made or the desk file is damaged.
    """
    if is_on_server(desk_path):
        yield
        return
    ended = threading.Event()

    def keep() -> None:
        wait = START_AFTER_SECONDS
        while not ended.wait(wait):
            _back_up_and_tell(desk_path, clock, tell)
            wait = EVERY_SECONDS

    keeper = threading.Thread(target=keep, name="backups", daemon=True)
    keeper.start()
    try:
        yield
    finally:
        ended.set()
        keeper.join()
        _back_up_and_tell(desk_path, clock, tell)


def _back_up_and_tell(desk_path: Path, clock: Clock, tell: Callable[[str], None]) -> None:
    made = back_up(desk_path, clock)
    if isinstance(made, Problem):
        tell(f"No backup was made. {made.sentence}")
    else:
        for note in made.notes[:MOST_NOTES]:
            tell(f"The backup is made. {note}")


def list_backups(desk_path: Path) -> list[tuple[backups.Backup, list[str]]]:
    """The desk's own backups, newest first, each with what is wrong with it now; reads all of them."""
    proof = Proof()
    return [(backup, list(backups.faults_of(backup.path, proof))) for backup in backups.backups_of(desk_path)]


def restore(backup: Path, new: Path, desk_path: Path) -> Restored | Problem:
    """Makes a new desk from a backup, with its photos and wording; the backup and the desk in use stay as they are."""
    refused = _in_the_way(new)
    if refused is not None:
        return refused
    brought = backups.restore(backup, new)
    if isinstance(brought, Trouble):
        return Problem(brought.what, brought.remedy)
    files = f"{counted(brought.count, 'photo or file', 'photos and files')} came with it, each proved."
    return Restored(new, f"{files} {_about_the_key(new, desk_path)}", brought.missing)


def _about_the_key(new: Path, desk_path: Path) -> str:
    own, beside = key_path(new), key_path(desk_path)
    if own.exists():
        return f"The key file {own} was there already."
    sealed = "Its codes are sealed."
    if not beside.exists():
        return f"{sealed} To read them, unlock the new desk with its passphrase or its recovery key."
    return (
        f"{sealed} To read them, copy the key file {beside} to {own}, "
        "or unlock the new desk with its passphrase or its recovery key."
    )
