"""Photos and the house's own wording in backups: each kept once under its digest, with a list for each backup.

Backups in one folder share what they hold, so that a photo is copied once and not with every backup. A list tells
which files a backup has; what no list names any more is let go.
"""

from __future__ import annotations

import json
import os
import time
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path

from breakdesk.store import kept_files
from breakdesk.store.engine import run
from breakdesk.store.kept_files import PHOTOS, KeptFile, WrongFile, files_folder
from breakdesk.store.models.base import StrictSqlite

LIST_SUFFIX = ".json"
STORE = "breakdesk files"
FORMAT, FORMAT_VERSION = "breakdesk files of a backup", 1
_LARGEST_LIST = 64 * 1024 * 1024
_MAY_STILL_BE_WRITTEN = 3600.0
_OFTEN_ENOUGH = 86400.0
"""Seconds after which every copy is read again."""


@dataclass(frozen=True, slots=True)
class Brought:
    """What a restore brought back, and a sentence for each file that it could not."""

    count: int = 0
    missing: tuple[str, ...] = ()


@dataclass(slots=True)
class Proof:
    """Which kept copies were read and found whole; a copy that several backups share is read once."""

    known: dict[Path, bool] = field(default_factory=dict)

    def is_whole(self, path: Path, digest: str) -> bool:
        """Whether a copy is there and holds what its digest says."""
        if path not in self.known:
            try:
                self.known[path] = kept_files.digest_of(path) == digest
            except OSError:
                self.known[path] = False
        return self.known[path]


def list_path(backup: Path) -> Path:
    """Where the list of a backup's files stands."""
    return backup.parent / STORE / (backup.name + LIST_SUFFIX)


def read_list(backup: Path) -> list[KeptFile]:
    """The files of a backup; none where it has no list. Raises WrongFile where the list is none of ours."""
    path = list_path(backup)
    try:
        if path.stat().st_size > _LARGEST_LIST:
            raise WrongFile(f"{path.name} is too large for a list of files")
        said = json.loads(path.read_text(encoding="ascii"))
        if said["format"] != FORMAT or said["version"] != FORMAT_VERSION:
            raise WrongFile(f"{path.name} was written by a newer Breakdesk")
        return kept_files.read_listed(said["files"])
    except FileNotFoundError:
        return []
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise WrongFile(f"{path.name} is unreadable") from error


def take_files(desk_path: Path, backup: Path, photos: Iterable[str]) -> list[str]:
    """Copies what belongs to a desk beside a backup that is being made; a sentence for each file that is not as kept.

    `photos` are the names of the photos that the backup's claims refer to. A photo that was changed or lost since an
    earlier backup in the same place is kept as it was then. Once a day every copy is read again, and made anew where
    it does not hold what it should. Raises OSError, and WrongFile for a file that is being written.
    """
    found, others = kept_files.files_in(files_folder(desk_path))
    store, earlier, thorough = backup.parent / STORE, *_known_in(backup.parent)
    notes = [f"{name} is not in the backup: its name or its size is unusual." for name in others]
    files = {}
    for name, path in found:
        known = earlier.get(name)
        file = kept_files.measured(name, path, None if thorough else known)
        if known is not None and known.is_photo and known.digest != file.digest and _is_there(store, known, thorough):
            notes.append(f"{name} was changed after it was kept; the backup has it as it was.")
            file = known
        elif not _is_there(store, file, thorough):
            kept_files.copy_proved(path, store / file.digest, file.digest)
        files[name] = file
    for name in (f"{PHOTOS}/{photo}" for photo in photos):
        known = earlier.get(name)
        if name in files:
            continue
        if known is not None and _is_there(store, known, thorough):
            files[name] = known
            notes.append(f"{name} is not in the desk's folder any more; the backup has it as it was.")
        else:
            notes.append(f"{name} is missing, and no backup here has it.")
    for file in files.values():
        # So that nobody lets go of what this list is about to name.
        with suppress(OSError):
            os.utime(store / file.digest)
    _write_list(backup, files.values())
    return notes


def faults_of_files(backup: Path, photos: Iterable[str], proof: Proof) -> list[str]:
    """A sentence for what is wrong with the files of a backup; none where all are whole."""
    try:
        files = read_list(backup)
    except WrongFile as error:
        return [f"{error}."]
    store = backup.parent / STORE
    broken = [file.name for file in files if not proof.is_whole(store / file.digest, file.digest)]
    names = {file.name for file in files}
    missing = [photo for photo in photos if f"{PHOTOS}/{photo}" not in names]
    sentences = [f"{name} in it is missing or was changed." for name in broken]
    return sentences + [f"the photo {photo} is not in it." for photo in missing]


def bring_back(backup: Path, new: Path, photos: Iterable[str]) -> Brought:
    """Writes a backup's files beside a new desk, each proved by its digest, and names what is missing. Raises OSError.

    `photos` are the names of the photos that the desk refers to.
    """
    folder, store = files_folder(new), backup.parent / STORE
    count, missing = 0, []
    try:
        files = read_list(backup)
    except WrongFile as error:
        files, missing = [], [f"{error}."]
    names = {file.name for file in files}
    missing += [f"The photo {photo} is not in the backup." for photo in photos if f"{PHOTOS}/{photo}" not in names]
    for file in files:
        try:
            kept_files.copy_proved(store / file.digest, folder / file.name, file.digest)
            count += 1
        except (WrongFile, FileNotFoundError):
            missing.append(f"{file.name} is missing from the backup, or was changed in it.")
    return Brought(count, tuple(missing))


def let_go(backup: Path) -> None:
    """Removes a backup and its list; the copies go when nothing names them."""
    with suppress(OSError):
        backup.unlink()
        list_path(backup).unlink()


def tidy(folder: Path) -> None:
    """Removes the copies that no list in a folder of backups names; none where one of the lists cannot be read.

    What is young stays: another program may be about to name it.
    """
    lists = [path for path in _lists(folder) if _backup_of(path).exists()]
    try:
        named = {file.digest for path in lists for file in read_list(_backup_of(path))}
    except WrongFile:
        return
    for path in (folder / STORE).glob("*"):
        with suppress(OSError):
            is_needed = path.name in named or path in lists
            if not is_needed and path.stat().st_mtime < time.time() - _MAY_STILL_BE_WRITTEN:
                path.unlink()


def photos_named(database: StrictSqlite) -> list[str]:
    """The names of the photos that a desk refers to; none in one that is older than photos."""
    if "photo" not in database.get_tables():
        return []
    return [str(row[0]) for row in run(database, "SELECT file FROM photo ORDER BY id")]


def _is_there(store: Path, file: KeptFile, thorough: bool) -> bool:
    """Whether the copy of a file is in the store already; read through where that is asked for."""
    copy = store / file.digest
    if thorough:
        return Proof().is_whole(copy, file.digest)
    return copy.is_file() and copy.stat().st_size == file.size


def _write_list(backup: Path, files: Iterable[KeptFile]) -> None:
    said = {"format": FORMAT, "version": FORMAT_VERSION, "files": kept_files.listed(files)}
    kept_files.write_durably(list_path(backup), json.dumps(said, ensure_ascii=True, indent=1).encode())


def _known_in(folder: Path) -> tuple[dict[str, KeptFile], bool]:
    """The newest list of a folder of backups that can be read, and whether it is time to read every copy again."""
    now = time.time()
    newest_first = sorted(((path.stat().st_mtime, path) for path in _lists(folder)), reverse=True)
    for written, path in newest_first:
        with suppress(WrongFile):
            return {file.name: file for file in read_list(_backup_of(path))}, now - written > _OFTEN_ENOUGH
    return {}, True


def _lists(folder: Path) -> list[Path]:
    return list((folder / STORE).glob(f"*{LIST_SUFFIX}"))


def _backup_of(path: Path) -> Path:
    return path.parent.parent / path.name.removesuffix(LIST_SUFFIX)
