"""The files that belong to a desk and stand beside it: photos, the house's own wording, fonts, matched columns.

A name is the path below the desk's own folder, with slashes. What has no name that is known here is not the desk's:
names also come from lists and archives that anybody may have written, so that nothing else is ever read or made.
"""

from __future__ import annotations

import hashlib
import os
import re
import secrets
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from unicodedata import normalize

PHOTOS = "photos"
ROOTS = (PHOTOS, "templates", "template versions", "columns", "fonts")
"""The folders that go with a desk; backups stand beside them and go nowhere."""
LARGEST_FILE = 256 * 1024 * 1024
LONGEST_NAME = 400
MOST_FOLDERS = 6
_AT_ONCE = 1024 * 1024
_PART = re.compile(r"[\w(][\w .,()+@&'-]*")
_DIGEST = re.compile(r"[0-9a-f]{64}")
# Names that Windows keeps for devices, whatever ending they have (Microsoft, "Naming Files, Paths, and Namespaces").
_DEVICES = re.compile(r"(?i)(con|prn|aux|nul|com\d|lpt\d)(\..*)?")
UNFINISHED = ".part"


class WrongFile(Exception):  # noqa: N818 - named for what a person reads
    """A file is not what its list says; says which."""


@dataclass(frozen=True, slots=True)
class KeptFile:
    """One file: its name below the desk's folder, its size in bytes, and SHA-256 of what it holds, sealed or not."""

    name: str
    size: int
    digest: str
    modified: int = 0
    """When it was last changed, as the disk tells it, in nanoseconds; only to see that it need not be read again."""

    @property
    def is_photo(self) -> bool:
        """Whether it is a photo, which is never changed once it was kept."""
        return self.name.startswith(PHOTOS + "/")


def files_folder(desk_path: Path) -> Path:
    """The folder beside a desk file for what does not belong in it."""
    return desk_path.with_name(desk_path.stem + " files")


def is_safe(name: object) -> bool:
    """Whether a name is one of a desk's own files and leads nowhere else, on any system."""
    if not isinstance(name, str) or len(name) > LONGEST_NAME or normalize("NFC", name) != name:
        return False
    root, *parts = name.split("/")
    return (
        root in ROOTS
        and 1 <= len(parts) <= MOST_FOLDERS
        and all(_PART.fullmatch(part) and part[-1] not in ". " and not _DEVICES.fullmatch(part) for part in parts)
    )


def files_in(folder: Path) -> tuple[list[tuple[str, Path]], list[str]]:
    """Every file of a desk's folder with its name, in order, and the names that cannot go with the desk.

    Links are not followed; what a program has not finished is neither.
    """
    files, others = [], []
    for root in ROOTS:
        for place, folders, leaves in os.walk(folder / root):
            folders.sort()
            for path in (Path(place) / leaf for leaf in sorted(leaves)):
                if path.name.startswith(".") or path.name.endswith(UNFINISHED):
                    continue
                name = path.relative_to(folder).as_posix()
                if is_safe(name) and path.is_file() and not path.is_symlink() and path.stat().st_size <= LARGEST_FILE:
                    files.append((name, path))
                else:
                    others.append(name)
    return files, others


def digest_of(path: Path) -> str:
    """SHA-256 of a file. Raises OSError."""
    running = hashlib.sha256()
    with path.open("rb") as file:
        while part := file.read(_AT_ONCE):
            running.update(part)
    return running.hexdigest()


def measured(name: str, path: Path, known: KeptFile | None = None) -> KeptFile:
    """A file as it is now; one that the disk says is unchanged since it was known is not read again. Raises OSError."""
    now = path.stat()
    if known is not None and (known.size, known.modified) == (now.st_size, now.st_mtime_ns):
        return known
    return KeptFile(name, now.st_size, digest_of(path), now.st_mtime_ns)


def copy_proved(source: Path, target: Path, digest: str) -> None:
    """Copies a file, for its owner only, and reads the copy back; it stands under its name once it is proved.

    Raises WrongFile where it does not hold what the digest says, and OSError.
    """
    unproved = target.with_name(f"{target.name}.{secrets.token_hex(4)}{UNFINISHED}")
    try:
        private_folder(target.parent)
        handle = os.open(unproved, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
        with os.fdopen(handle, "wb") as to, source.open("rb") as content:
            while part := content.read(_AT_ONCE):
                to.write(part)
            to.flush()
            os.fsync(to.fileno())
        if digest_of(unproved) != digest:
            raise WrongFile(f"{source.name} is not what was kept")
        unproved.replace(target)
        to_disk(target.parent)
    finally:
        with suppress(OSError):
            unproved.unlink()


def write_durably(path: Path, content: bytes) -> None:
    """Writes a file for its owner only, in place of an earlier one: after a loss of power it is the one or the other.

    Raises OSError.
    """
    unproved = path.with_name(f".{path.name}.{secrets.token_hex(4)}{UNFINISHED}")
    try:
        private_folder(path.parent)
        handle = os.open(unproved, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
        with os.fdopen(handle, "wb") as to:
            to.write(content)
            to.flush()
            os.fsync(to.fileno())
        unproved.replace(path)
        to_disk(path.parent)
    finally:
        with suppress(OSError):
            unproved.unlink()


def listed(files: Iterable[KeptFile]) -> list[dict[str, Any]]:
    """Files as they stand in a list."""
    return [{"name": file.name, "bytes": file.size, "sha256": file.digest, "modified": file.modified} for file in files]


def read_listed(said: object) -> list[KeptFile]:
    """The files of a list that anybody may have written. Raises WrongFile for what is none of ours."""
    if not isinstance(said, list):
        raise WrongFile("the list of files is unreadable")
    return [_read_one(one) for one in said]


def _read_one(said: object) -> KeptFile:
    fields = said if isinstance(said, dict) else {}
    name, size, digest = fields.get("name"), fields.get("bytes"), fields.get("sha256")
    modified = fields.get("modified", 0)
    is_measured = type(size) is int and 0 <= size <= LARGEST_FILE and type(modified) is int
    if not (is_safe(name) and is_measured and isinstance(digest, str) and _DIGEST.fullmatch(digest)):
        raise WrongFile("the list of files names one that no desk has")
    return KeptFile(str(name), int(size or 0), digest, int(modified))


def private_folder(folder: Path) -> None:
    """Makes a folder, and those above it that are missing, for their owner only; what exists is left as it is."""
    if not folder.is_dir():
        private_folder(folder.parent)
        folder.mkdir(mode=0o700, exist_ok=True)


def to_disk(path: Path) -> None:
    """Has the disk keep what was written to a file, or the names in a folder, through a loss of power."""
    if os.name == "nt" and path.is_dir():
        return  # Windows opens no folders; renaming is durable there without it.
    descriptor = os.open(path, os.O_RDWR if path.is_file() else os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
