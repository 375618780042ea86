"""What the engine reports when the disk, the folder or another program stands in the way, in words."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from pathlib import Path

from breakdesk.store.engine import ENGINE_ERRORS

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
    if code in ("SQLITE_BUSY", "SQLITE_LOCKED") or "is locked" in text:
        return Trouble(f"{path} is in use by another program.", "Close that program, or wait a moment, and try again.")
    if code == "SQLITE_FULL" or "is full" in text:
        return _full(path)
    if code in ("SQLITE_CORRUPT", "SQLITE_NOTADB") or "malformed" in text or "not a database" in text:
        return Trouble(f"{path} is damaged, or it is not a desk.", DAMAGED_REMEDY, is_damage=True)
    if code in ("SQLITE_READONLY", "SQLITE_CANTOPEN", "SQLITE_PERM") or "readonly" in text or "unable to open" in text:
        return Trouble(f"{path} cannot be written.", "Check that you may write the file and the folder in which it is.")
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
