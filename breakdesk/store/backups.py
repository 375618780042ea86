"""Backups of a desk: taken while it is in use, proved after writing, kept by age, and made into a desk again.

A backup is a whole desk file, with a list of the photos and wording that go with it (store/backup_files.py). Codes in
it stay sealed, and the key file is not in it: that is the point, and the reason to keep the key file, or a recovery
key, somewhere else.
"""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from breakdesk.rules.retention import kept
from breakdesk.store import backup_files, chain
from breakdesk.store.backup_files import Brought, Proof, photos_named
from breakdesk.store.engine import ENGINE_ERRORS, connect_aside, copy_file, run
from breakdesk.store.kept_files import WrongFile, files_folder, private_folder, to_disk
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
    return files_folder(desk_path) / "backups"


def backups_of(desk_path: Path) -> list[Backup]:
    """The desk's own backups, newest first."""
    folder = backups_folder(desk_path)
    found = [_named(path) for path in folder.glob(f"*{SUFFIX}")] if folder.is_dir() else []
    return sorted((backup for backup in found if backup), key=lambda backup: backup.made_at, reverse=True)


@dataclass(frozen=True, slots=True)
class Taken:
    """A backup that was made and proved, and a sentence for each photo or file that is not in it as it was kept."""

    path: Path
    notes: tuple[str, ...] = ()


def take(desk_path: Path, now: datetime, target: Path | None = None, reason: str = "") -> Taken | Trouble:
    """Copies the desk as it is now, with its files, into its own backups or to a named file, and proves the copies."""
    path = target or _fresh_name(desk_path, now, reason)
    notes: list[str] = []

    def with_files(unproved: Path) -> None:
        notes.extend(backup_files.take_files(desk_path, path, photos_in(unproved)))

    trouble = copy_proved(desk_path, path, with_files)
    if trouble is None:
        return Taken(path, tuple(notes))
    return Trouble(trouble.what, way_back(desk_path), is_damage=True) if trouble.is_damage else trouble


def copy_proved(source_path: Path, target: Path, then: Callable[[Path], None] = lambda _: None) -> Trouble | None:
    """Copies a desk, in use or not, into a new file. What is not proved after writing is not kept.

    `then` does what has to be done before the copy gets its name.
    """
    unproved = target.with_name(f"{target.name}.{secrets.token_hex(4)}{UNPROVED}")
    try:
        private_folder(target.parent)
        os.close(os.open(unproved, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600))
        source = connect_aside(source_path)
        try:
            copy_file(source, unproved)
        finally:
            source.close()
        faults = list(faults_of_desk(unproved))
        if faults:
            return Trouble(f"{source_path} is damaged: {faults[0]}", DAMAGED_REMEDY, is_damage=True)
        to_disk(unproved)
        then(unproved)
        unproved.replace(target)
        to_disk(target.parent)
    except WrongFile as error:
        return Trouble(f"The backup is not whole: {error}.", "Another program writes it: try again in a moment.")
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
        backup_files.let_go(backup.path)
    if old:
        backup_files.tidy(backups_folder(desk_path))
    for part in backups_folder(desk_path).glob(f"*{UNPROVED}"):
        # One that is younger may still be written by another program.
        with suppress(OSError):
            if part.stat().st_mtime < now.timestamp() - 3600:
                _forget(part)
    return [backup.path for backup in old]


def faults_of(path: Path, proof: Proof | None = None, *, whole_history: bool = False) -> Iterator[str]:
    """A sentence for everything that is wrong with a backup; none where it is sound.

    Checks the engine's own structure, the references between rows, that the history ends where it should (with
    `whole_history` every link of it), and then every photo and file that goes with it.
    """
    is_whole = True
    for fault in faults_of_desk(path, whole_history=whole_history):
        is_whole = False
        yield fault
    if is_whole:
        yield from backup_files.faults_of_files(path, photos_in(path), proof or Proof())


def faults_of_desk(path: Path, *, whole_history: bool = False) -> Iterator[str]:
    """What is wrong with a desk file alone, whatever goes with it."""
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
    """The newest of the desk's own backups whose desk is whole; None where there is none."""
    sound = (backup.path for backup in backups_of(desk_path) if not any(faults_of_desk(backup.path)))
    return next(sound, None)


def restore(backup: Path, new: Path) -> Brought | Trouble:
    """Makes a new desk from a backup, which stays as it is; both are proved, the whole history too.

    A photo or file that is not whole is left out and named: it does not keep the desk from coming back.
    """
    if not backup.is_file():
        return Trouble(f"There is no backup at {backup}.", "`breakdesk backups` lists the desk's own.")
    if new.exists():
        return Trouble(f"{new} exists already, and it was left as it is.", "Name a new file.")
    folder = files_folder(new)
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        return Trouble(f"{folder} is there already, and photos would mix with what is in it.", "Name another new file.")
    faults = list(faults_of_desk(backup, whole_history=True))
    if faults:
        return Trouble(f"{backup} is not a sound backup: {faults[0]}", "Take an older one.", is_damage=True)
    brought = Brought()

    def with_files(unproved: Path) -> None:
        nonlocal brought
        if any(faults_of_desk(unproved, whole_history=True)):
            raise WrongFile("the copy differs from what was read before")
        brought = backup_files.bring_back(backup, new, photos_in(unproved))

    trouble = copy_proved(backup, new, with_files)
    if trouble is not None:
        shutil.rmtree(folder, ignore_errors=True)
        return trouble
    return brought


def photos_in(path: Path) -> list[str]:
    """The names of the photos that a sound desk file refers to."""
    database = connect_aside(path)
    try:
        return photos_named(database)
    finally:
        database.close()


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
