"""A whole desk written to open files, and loaded back without a difference."""

from __future__ import annotations

import os
import shutil
from dataclasses import dataclass
from pathlib import Path

from breakdesk.desk.clock import Clock
from breakdesk.desk.problems import Problem
from breakdesk.rules.wording import counted
from breakdesk.store import archiving, backups
from breakdesk.store.engine import ENGINE_ERRORS
from breakdesk.store.kept_files import WrongFile, files_folder, private_folder
from breakdesk.store.sealing import key_path
from breakdesk.store.server_address import is_on_server, named
from breakdesk.store.trouble import trouble_of


@dataclass(frozen=True, slots=True)
class Archived:
    """What was written, or loaded, and where."""

    path: Path
    said: str
    missing: tuple[str, ...] = ()
    """A sentence for each photo of the desk that is not there."""


def archive(desk_path: Path, folder: Path, clock: Clock, form: str = "json") -> Archived | Problem:
    """Writes every table and file of the desk into a new or empty folder, which only its owner can read.

    `form` is `json` (JSON lines) or `csv`.
    """
    if is_on_server(desk_path):
        return Problem(
            f"{named(desk_path)} is on a server, and only a desk file can be written out.",
            "Copy it into a file with `breakdesk move`, then archive that file.",
        )
    if not desk_path.is_file():
        return Problem(
            f"There is no desk at {desk_path}.", "Name the desk before the command: `breakdesk --desk PATH`."
        )
    try:
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            return Problem(f"{folder} is there already and is not an empty folder.", "Name a new folder.")
        private_folder(folder)
        done = archiving.write_archive(desk_path, folder, clock.now().isoformat(), form)
    except WrongFile as error:
        return Problem(
            f"The archive is not whole: {error}.", "Another program writes it: name a new folder, try again."
        )
    except (*ENGINE_ERRORS, OSError) as error:
        return _problem(error, desk_path if isinstance(error, ENGINE_ERRORS) else folder)
    said = f"{_measure(done)}. Codes in it stay sealed; the key is not in it."
    return Archived(folder, said, _missing(done))


def unarchive(folder: Path, new: Path) -> Archived | Problem:
    """Makes a new desk from an archive; every table and the whole history are compared before it counts."""
    if new.exists():
        return Problem(f"{new} exists already, and it was left as it is.", "Name a new file.")
    files = files_folder(new)
    if files.exists() and (not files.is_dir() or any(files.iterdir())):
        return Problem(f"{files} is there already, and photos would mix with what is in it.", "Name another new file.")
    unproved = new.with_name(f"{new.name}{backups.UNPROVED}")
    is_whole = False
    try:
        private_folder(new.parent)
        os.close(os.open(unproved, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600))
        done = archiving.read_archive(folder, unproved, files)
        faults = list(backups.faults_of_desk(unproved, whole_history=True))
        if faults:
            return Problem(f"{folder} is not a sound archive: {faults[0]}", "Take another one, or a backup.")
        unproved.replace(new)
        is_whole = True
    except archiving.BadArchive as error:
        return Problem(f"{folder} cannot be loaded: {error}.", "Take another archive, or a backup.")
    except (*ENGINE_ERRORS, OSError) as error:
        return _problem(error, new)
    finally:
        for end in ("", "-journal", "-wal", "-shm"):
            unproved.with_name(unproved.name + end).unlink(missing_ok=True)
        if not is_whole:
            shutil.rmtree(files, ignore_errors=True)
    said = (
        f"{_measure(done)}, no difference. Codes are sealed: copy the desk's key file to "
        f"{key_path(new)}, or unlock it with its passphrase or its recovery key."
    )
    return Archived(new, said, _missing(done))


def _measure(done: archiving.Archived) -> str:
    files = counted(done.files, "photo or file", "photos and files")
    return f"{done.tables} tables, {done.rows:,} rows, {files}"


def _missing(done: archiving.Archived) -> tuple[str, ...]:
    return tuple(f"The photo {name} is not there." for name in done.missing)


def _problem(error: Exception, path: Path) -> Problem:
    trouble = trouble_of(error, path)
    if trouble is None:
        raise error
    return Problem(trouble.what, trouble.remedy)
