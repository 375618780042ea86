"""What the engine reports when the disk, the folder or another program stands in the way, in words."""

from __future__ import annotations

import shutil
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from breakdesk.store.engine import ENGINE_ERRORS
from breakdesk.store.server import is_line_down, state_of
from breakdesk.store.server_address import is_on_server, named

_LEAST_ROOM = 256 * 1024
DAMAGED_REMEDY = (
    "Make a new desk from a backup: `breakdesk backups` lists them, `breakdesk restore BACKUP NEW` does it."
)


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something outside the program that stands in the way, and what to do about it."""

    what: str
    remedy: str
    is_damage: bool = False


def trouble_of(error: BaseException, path: Path) -> Trouble | None:
    """What an error of the engine or of the disk means for a person; None where it is a mistake of ours."""
    code = _code(error)
    text = str(error)
    if isinstance(error, OSError):
        return _trouble_of_the_disk(error, path)
    if not isinstance(error, ENGINE_ERRORS):
        return None
    if is_on_server(path):
        return _trouble_of_the_server(error, path)
    if code in ("SQLITE_BUSY", "SQLITE_LOCKED") or "is locked" in text:
        return Trouble(f"{path} is in use by another program.", "Close that program, or wait a moment, and try again.")
    if code == "SQLITE_FULL" or "is full" in text:
        return _full(path)
    if code in ("SQLITE_CORRUPT", "SQLITE_NOTADB") or "malformed" in text or "not a database" in text:
        return Trouble(f"{path} is damaged, or it is not a desk.", DAMAGED_REMEDY, is_damage=True)
    if code in ("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM") or "readonly" in text or "unable to open" in text:
        return Trouble(f"{path} cannot be written.", "Check that you may write the file and the folder in which it is.")
    if (code == "SQLITE_IOERR" or "disk I/O" in text) and _is_without_room(path):
        return _full(path)
    if code == "SQLITE_IOERR" or "disk I/O" in text:
        return Trouble(
            f"The disk failed while {path} was read or written.",
            "Check that there is free space and that the disk is still there, then try again.",
        )
    return None


def _trouble_of_the_disk(error: OSError, path: Path) -> Trouble:
    import errno

    if error.errno in (errno.ENOSPC, errno.EDQUOT):
        return _full(path)
    return Trouble(
        f"{error.filename or path} cannot be opened: {error.strerror or error}.",
        "Check the name, the folder and the rights.",
    )


_LINE = "The line to {} is down."
_BY_STATE = {
    "55P03": ("{} is busy: another desk has held what you need for half a minute.", "Try again in a moment."),
    "40001": ("Others changed the same things at {} at the same time.", "Look at it again, then try again."),
    "40P01": ("Others changed the same things at {} at the same time.", "Look at it again, then try again."),
    "23505": ("Another desk at {} did the same at the same time.", "Look at it again: it may be done already."),
    "42501": ("You have no right to do this at {}.", "An owner of the desk can give it: `breakdesk staff`."),
    "22021": ("The text holds a character that cannot be kept.", "Type it again."),
    "53100": ("The disk of the server of {} is full.", "Whoever runs the server has to make room."),
    "53300": (
        "The server of {} takes no more connections.",
        "Close desks that nobody uses.",
    ),
    "28P01": (
        "The server of {} did not accept this name and password.",
        "Check the name in the address, and the password in ~/.pgpass or PGPASSWORD.",
    ),
    "28000": ("The server of {} does not let this name in.", "Check the name in the address; ask who runs the server."),
    "3D000": ("There is no database for {}.", "Check the name, or ask who runs the server to make an empty one."),
    "25006": ("The server of {} takes no writing: it is a copy.", "Name the server that leads."),
}
"""By the engine's own code (PostgreSQL, appendix A: error codes), what happened and what to do."""


def _trouble_of_the_server(error: BaseException, path: Path) -> Trouble | None:
    name, state, text = named(path), state_of(error), str(error)
    name = name[:1].lower() + name[1:]
    if not state and "NUL" in text:
        state = "22021"
    # What failed while connecting carries no code, only the server's own words.
    if not state:
        state = next((code for words, code in _SAID_WHILE_CONNECTING if words in text), "")
    if state in _BY_STATE:
        what, remedy = (part.format(name) for part in _BY_STATE[state])
        return Trouble(what[:1].upper() + what[1:], remedy)
    if is_line_down(error):
        return Trouble(_LINE.format(name), "Check the network, then try again.")
    return None


_SAID_WHILE_CONNECTING = (
    ("password authentication failed", "28P01"),
    ("no password supplied", "28P01"),
    ("no pg_hba.conf entry", "28000"),
    ("FATAL:  role ", "28000"),
    ("FATAL:  database ", "3D000"),
    ("too many clients", "53300"),
)


def _is_without_room(path: Path) -> bool:
    """Whether the disk is so full that the engine cannot even make its small files beside the desk."""
    try:
        return shutil.disk_usage(path.parent).free < _LEAST_ROOM
    except OSError:
        return False


def _full(path: Path) -> Trouble:
    return Trouble(f"The disk that holds {path} is full.", "Free some space, then try again.")


def _code(error: BaseException) -> str:
    """The engine's own name for the error, without its further detail, however deep the error is wrapped."""
    current: BaseException | None = error
    seen: set[int] = set()
    while current is not None and id(current) not in seen:
        seen.add(id(current))
        name = getattr(current, "sqlite_errorname", None)
        if isinstance(name, str):
            return "_".join(name.split("_")[:2])
        inner = current.args[0] if current.args and isinstance(current.args[0], sqlite3.Error) else None
        current = inner or current.__cause__ or current.__context__
    return ""
