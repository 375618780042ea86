"""Backups of a desk: taken while it is in use, proved after writing, kept by age, and made into a desk again.

A backup is a whole desk file. Codes in it stay sealed, and the key file is not in it: that is the point, and the
reason to keep the key file, or a recovery key, somewhere else.
"""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from breakdesk.rules.retention import kept
from breakdesk.store import chain
from breakdesk.store.engine import ENGINE_ERRORS, connect_aside, copy_file, run
from breakdesk.store.models.base import StrictSqlite
from breakdesk.store.trouble import DAMAGED_REMEDY, Trouble, trouble_of

SUFFIX = ".backup"
UNPROVED = ".part"
BEFORE_UPDATE = "before-update"
_STAMP = "%Y%m%dT%H%M%SZ"
_MOST_REPORTS = 5


@dataclass(frozen=True, slots=True)
class Backup:
    """A backup that stands in the desk's own folder."""

    path: Path
    made_at: datetime
    """Instant in UTC."""
    reason: str = ""

    @property
    def size(self) -> int:
        """Its size in bytes."""
        return self.path.stat().st_size


def backups_folder(desk_path: Path) -> Path:
    """Where a desk's own backups stand."""
    return desk_path.with_name(desk_path.stem + " files") / "backups"


def backups_of(desk_path: Path) -> list[Backup]:
    """The desk's own backups, newest first."""
    folder = backups_folder(desk_path)
    found = [_named(path) for path in folder.glob(f"*{SUFFIX}")] if folder.is_dir() else []
    return sorted((backup for backup in found if backup), key=lambda backup: backup.made_at, reverse=True)


def take(desk_path: Path, now: datetime, target: Path | None = None, reason: str = "") -> Path | Trouble:
    """Copies the desk as it is now into its own backups, or to a named file, and proves the copy."""
    path = target or _fresh_name(desk_path, now, reason)
    trouble = copy_proved(desk_path, path)
    if trouble is None:
        return path
    return Trouble(trouble.what, way_back(desk_path), is_damage=True) if trouble.is_damage else trouble


def copy_proved(source_path: Path, target: Path) -> Trouble | None:
    """Copies a desk, in use or not, into a new file. What is not proved after writing is not kept."""
    unproved = target.with_name(f"{target.name}.{secrets.token_hex(4)}{UNPROVED}")
    try:
        private_folder(target.parent)
        os.close(os.open(unproved, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        source = connect_aside(source_path)
        try:
            copy_file(source, unproved)
        finally:
            source.close()
        faults = list(faults_of(unproved))
        if faults:
            return Trouble(f"{source_path} is damaged: {faults[0]}", DAMAGED_REMEDY, is_damage=True)
        _to_disk(unproved)
        unproved.replace(target)
        _to_disk(target.parent)
    except (*ENGINE_ERRORS, OSError) as error:
        is_of_the_target = isinstance(error, OSError) or "full" in str(error)
        trouble = trouble_of(error, target if is_of_the_target else source_path)
        if trouble is None:
            raise
        return trouble
    finally:
        _forget(unproved)
    return None


def rotate(desk_path: Path, now: datetime) -> list[Path]:
    """Removes the desk's own backups that have had their time; those from before an update stay for a year.

    Copies that were cut short while they were written go too.
    """
    regular = [backup for backup in backups_of(desk_path) if not backup.reason]
    before_update = [backup for backup in backups_of(desk_path) if backup.reason]
    keep = kept((backup.made_at for backup in regular), now)
    old = [backup for backup in regular if backup.made_at not in keep]
    old += [backup for backup in before_update if (now - backup.made_at).days > 366]
    for backup in old:
        with suppress(OSError):
            backup.path.unlink()
    for part in backups_folder(desk_path).glob(f"*{UNPROVED}"):
        # One that is younger may still be written by another program.
        with suppress(OSError):
            if part.stat().st_mtime < now.timestamp() - 3600:
                _forget(part)
    return [backup.path for backup in old]


def faults_of(path: Path, *, whole_history: bool = False) -> Iterator[str]:
    """A sentence for everything that is wrong with a desk file or a backup; none where it is sound.

    Checks the engine's own structure, the references between rows, and that the history ends where it should; with
    `whole_history` every link of it.
    """
    try:
        database = connect_aside(path)
    except (*ENGINE_ERRORS, OSError) as error:
        yield _said(error, path)
        return
    try:
        yield from _faults_inside(database, whole_history=whole_history)
    except (*ENGINE_ERRORS, OSError) as error:
        yield _said(error, path)
    finally:
        database.close()


def has_history(desk_path: Path) -> bool:
    """Whether anything was ever done at a desk."""
    database = connect_aside(desk_path)
    try:
        return chain.head_of(database)[0] > 0
    finally:
        database.close()


def newest_sound(desk_path: Path) -> Path | None:
    """The newest of the desk's own backups that is whole; None where there is none."""
    sound = (backup.path for backup in backups_of(desk_path) if not any(faults_of(backup.path)))
    return next(sound, None)


def restore(backup: Path, new: Path) -> Trouble | None:
    """Makes a new desk file from a backup, which stays as it is; both are proved, the whole history too."""
    if not backup.is_file():
        return Trouble(f"There is no backup at {backup}.", "`breakdesk backups` lists the desk's own.")
    if new.exists():
        return Trouble(f"{new} exists already, and it was left as it is.", "Name a new file.")
    faults = list(faults_of(backup, whole_history=True))
    if faults:
        return Trouble(f"{backup} is not a sound backup: {faults[0]}", "Take an older one.", is_damage=True)
    trouble = copy_proved(backup, new)
    if trouble is not None:
        return trouble
    faults = list(faults_of(new, whole_history=True))
    return Trouble(f"{new} did not come out whole: {faults[0]}", "Try again on another disk.") if faults else None


def private_folder(folder: Path) -> None:
    """Makes a folder, and those above it that are missing, for their owner only; what exists is left as it is."""
    if not folder.is_dir():
        private_folder(folder.parent)
        folder.mkdir(mode=0o700, exist_ok=True)


def _faults_inside(database: StrictSqlite, *, whole_history: bool) -> Iterator[str]:
    for row in run(database, f"PRAGMA integrity_check({_MOST_REPORTS})"):
        if row[0] != "ok":
            yield f"{row[0]}."
            return
    tables = set(database.get_tables())
    if not {"action", "history_head", "migration"} <= tables:
        yield "it holds no desk."
        return
    for row in run(database, "PRAGMA foreign_key_check").fetchmany(_MOST_REPORTS):
        yield f"a row of {row[0]} refers to something that is not there."
    if whole_history:
        yield from chain.broken_links(database)
    elif not chain.end_is_whole(database):
        yield "its history does not end where it should."


def _said(error: Exception, path: Path) -> str:
    trouble = trouble_of(error, path)
    if trouble is None:
        return f"{error}."
    return "it cannot be read as a whole." if trouble.is_damage else trouble.what


def way_back(desk_path: Path) -> str:
    """What to do about a damaged desk: the newest sound backup, named, and how to make a desk of it."""
    newest = newest_sound(desk_path)
    if newest is None:
        return "There is no sound backup in its folder: look for a copy elsewhere, then `breakdesk restore COPY NEW`."
    return f'The newest sound backup is "{newest}": `breakdesk restore "{newest}" NEW` makes a desk of it.'


def _fresh_name(desk_path: Path, now: datetime, reason: str) -> Path:
    name = f"{now.astimezone(UTC):{_STAMP}}" + (f"-{reason}" if reason else "")
    return backups_folder(desk_path) / f"{name}{SUFFIX}"


def _named(path: Path) -> Backup | None:
    stamp, _, reason = path.name.removesuffix(SUFFIX).partition("-")
    try:
        return Backup(path, datetime.strptime(stamp, _STAMP).replace(tzinfo=UTC), reason)
    except ValueError:
        return None


def _forget(unproved: Path) -> None:
    for part in (unproved, *(unproved.with_name(unproved.name + end) for end in ("-journal", "-wal", "-shm"))):
        with suppress(OSError):
            part.unlink()


def _to_disk(path: Path) -> None:
    if os.name == "nt" and path.is_dir():
        return  # Windows opens no folders; renaming is durable there without it.
    descriptor = os.open(path, os.O_RDWR if path.is_file() else os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
