"""What could not be sent to the server: kept on this machine, in order, each with the key that makes it happen once."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

_TABLE = (
    "CREATE TABLE IF NOT EXISTS entry (place INTEGER PRIMARY KEY, key INTEGER NOT NULL UNIQUE, body TEXT NOT NULL, "
    "refused TEXT NOT NULL DEFAULT '') STRICT"
)


@dataclass(frozen=True, slots=True)
class Waiting:
    """Something that waits: the key of its action, what it says, and why the desk refused it, where it did."""

    key: int
    body: str
    refused: str = ""


def queue_path(desk_path: Path) -> Path:
    """Where a desk's queue stands: beside the file with its address."""
    return desk_path.with_name(desk_path.name + ".waiting")


def add(desk_path: Path, key: int, body: str) -> None:
    """Puts something at the end; on the disk when this returns. Raises OSError, sqlite3.Error."""
    path = queue_path(desk_path)
    if not path.exists():
        os.close(os.open(path, os.O_WRONLY | os.O_CREAT, 0o600))
    with _opened(path) as connection:
        connection.execute(_TABLE)
        connection.execute("INSERT OR IGNORE INTO entry (key, body) VALUES (?, ?)", (key, body))


def waiting(desk_path: Path) -> list[Waiting]:
    """Everything that waits, in the order in which it was put in. Raises sqlite3.Error."""
    if not queue_path(desk_path).exists():
        return []
    with _opened(queue_path(desk_path)) as connection:
        connection.execute(_TABLE)
        return [Waiting(*row) for row in connection.execute("SELECT key, body, refused FROM entry ORDER BY place")]


def strike(desk_path: Path, key: int) -> None:
    """Takes out what was done."""
    with _opened(queue_path(desk_path)) as connection:
        connection.execute("DELETE FROM entry WHERE key = ?", (key,))


def note_refusal(desk_path: Path, key: int, why: str) -> None:
    """Leaves something in the queue with the reason for which the desk did not take it."""
    with _opened(queue_path(desk_path)) as connection:
        connection.execute("UPDATE entry SET refused = ? WHERE key = ?", (why, key))


@contextmanager
def _opened(path: Path) -> Iterator[sqlite3.Connection]:
    connection = sqlite3.connect(path, timeout=10)
    try:
        connection.execute("PRAGMA synchronous = FULL")
        with connection:
            yield connection
    finally:
        connection.close()
