"""A whole desk as open files: one file of JSON lines a table and a schema that says what stands in them.

Nothing is left out and nothing is opened: codes stay sealed, and the key file is not part of it. Each table's file has
its SHA-256 in the schema; the desk that is loaded back is written out again in memory and has to give the same ones.
"""

from __future__ import annotations

import base64
import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from breakdesk.store.engine import ENGINE_ERRORS, connect_aside, run
from breakdesk.store.migrations import steps, taken
from breakdesk.store.models import TABLES
from breakdesk.store.models.base import StrictSqlite

FORMAT, FORMAT_VERSION = "breakdesk archive", 1
SCHEMA_FILE = "schema.json"
LONGEST_LINE = 16 * 1024 * 1024
_MEANINGS = {
    "DayField": "calendar day, YYYY-MM-DD (ISO 8601)",
    "InstantField": "instant, whole microseconds since 1970-01-01T00:00:00Z",
    "FlagField": "1 for yes, 0 for no",
    "BlobField": 'bytes, as {"base64": "…"}',
}
_ABOUT = (
    "Every table of a desk as JSON lines: one object a row, in the order of the primary key. Whole numbers have up to "
    "63 bits. Money is in minor units of the currency beside it. Codes are sealed (AES-256-GCM); the key is not here. "
    "The history's hashes are explained in docs/promises.md."
)


class BadArchive(Exception):  # noqa: N818 - named for what a person reads
    """The files are no archive, or they were changed since they were written; says which."""


@dataclass(frozen=True, slots=True)
class Archived:
    """What was written or loaded."""

    tables: int
    rows: int


def write_archive(desk_path: Path, folder: Path, made_at: str) -> Archived:
    """Writes the desk as it is at one moment into an empty folder. Raises OSError and the engine's errors."""
    database = connect_aside(desk_path)
    try:
        run(database, "BEGIN")
        described, rows = {}, 0
        for name in _tables_of(database):
            count, digest = _write_table(database, name, folder / f"{name}.jsonl")
            described[name] = {"columns": _described(database, name), "rows": count, "sha256": digest}
            rows += count
        schema = {
            "format": FORMAT,
            "version": FORMAT_VERSION,
            "about": _ABOUT,
            "made_at": made_at,
            "schema_step": taken(database),
            "tables": described,
        }
        with _private(folder / SCHEMA_FILE) as file:
            file.write(json.dumps(schema, indent=2, ensure_ascii=True).encode() + b"\n")
            os.fsync(file.fileno())
        run(database, "ROLLBACK")
    finally:
        database.close()
    return Archived(len(described), rows)


def read_archive(folder: Path, new: Path) -> Archived:
    """Loads an archive into a new, empty file, and compares every table. Raises BadArchive, OSError, engine errors."""
    schema = _schema(folder)
    known = steps()
    step = schema["schema_step"]
    if step > known[-1].number:
        raise BadArchive("it was written by a newer Breakdesk: install the newest version")
    database = connect_aside(new, writable=True)
    try:
        run(database, "PRAGMA foreign_keys = OFF")
        run(database, "BEGIN IMMEDIATE")
        for one in known:
            if one.number <= step:
                for statement in one.statements:
                    run(database, statement)
        rows = 0
        for name in _tables_of(database):
            described = schema["tables"].get(name)
            if not isinstance(described, dict):
                raise BadArchive(f"{SCHEMA_FILE} says nothing of the table {name}")
            rows += _read_table(database, name, folder / f"{name}.jsonl")
            count, digest = _measured(database, name)
            if (count, digest) != (described.get("rows"), described.get("sha256")):
                raise BadArchive(f"{name}.jsonl was changed since it was written")
        if run(database, "PRAGMA foreign_key_check").fetchone() is not None:
            raise BadArchive("a row refers to something that is not there")
        run(database, "COMMIT")
        return Archived(len(_tables_of(database)), rows)
    finally:
        database.close()


def tables_and_digests(desk_path: Path) -> dict[str, tuple[int, str]]:
    """How many rows each table of a desk has and the digest over them, to compare two desks."""
    database = connect_aside(desk_path)
    try:
        return {name: _measured(database, name) for name in _tables_of(database)}
    finally:
        database.close()


def _tables_of(database: StrictSqlite) -> list[str]:
    return sorted(database.get_tables())


def _described(database: StrictSqlite, table: str) -> list[dict[str, str]]:
    models = {model._meta.table_name: model for model in TABLES}
    columns = models[table]._meta.columns if table in models else {}
    return [
        {"name": name, "type": kind, "meaning": _MEANINGS.get(type(columns.get(name)).__name__, "")}
        for name, kind in _columns(database, table)
    ]


def _columns(database: StrictSqlite, table: str) -> list[tuple[str, str]]:
    return [(row[1], row[2]) for row in run(database, f'PRAGMA table_info("{table}")')]


def _lines(database: StrictSqlite, table: str) -> Iterator[bytes]:
    names = [name for name, _ in _columns(database, table)]
    listed = ", ".join(f'"{name}"' for name in names)
    for row in run(database, f'SELECT {listed} FROM "{table}" ORDER BY 1'):
        said = {name: _plain(value) for name, value in zip(names, row, strict=True)}
        yield json.dumps(said, ensure_ascii=True, separators=(",", ":")).encode() + b"\n"


def _measured(database: StrictSqlite, table: str) -> tuple[int, str]:
    running, count = hashlib.sha256(), 0
    for line in _lines(database, table):
        running.update(line)
        count += 1
    return count, running.hexdigest()


def _write_table(database: StrictSqlite, table: str, path: Path) -> tuple[int, str]:
    running, count = hashlib.sha256(), 0
    with _private(path) as file:
        for line in _lines(database, table):
            running.update(line)
            file.write(line)
            count += 1
        file.flush()
        os.fsync(file.fileno())
    return count, running.hexdigest()


def _read_table(database: StrictSqlite, table: str, path: Path) -> int:
    # Names of tables and columns come from our own schema, never from the file.
    names = [name for name, _ in _columns(database, table)]
    listed, marks = ", ".join(f'"{name}"' for name in names), ", ".join("?" for _ in names)
    count = 0
    try:
        with path.open("rb") as file:
            while line := file.readline(LONGEST_LINE):
                count += 1
                run(database, f'INSERT INTO "{table}" ({listed}) VALUES ({marks})', _values(line, names))
    except FileNotFoundError:
        raise BadArchive(f"{path.name} is missing") from None
    except (ValueError, RecursionError, OverflowError, *ENGINE_ERRORS) as error:
        if isinstance(error, ENGINE_ERRORS) and "full" in str(error):
            raise
        raise BadArchive(f"{path.name}, line {count}, is no row of the table {table}") from error
    return count


def _values(line: bytes, names: list[str]) -> list[Any]:
    said = json.loads(line)
    if not isinstance(said, dict) or set(said) != set(names):
        raise ValueError("other columns")
    return [_stored(said[name]) for name in names]


def _plain(value: Any) -> Any:
    return {"base64": base64.b64encode(value).decode()} if isinstance(value, bytes | memoryview) else value


def _stored(value: Any) -> Any:
    if isinstance(value, dict):
        return base64.b64decode(value["base64"], validate=True) if set(value) == {"base64"} else _refuse()
    return value if value is None or type(value) in (str, int) else _refuse()


def _refuse() -> Any:
    raise ValueError("no value of a desk")


def _schema(folder: Path) -> dict[str, Any]:
    try:
        said = json.loads((folder / SCHEMA_FILE).read_text(encoding="ascii"))
        is_ours = said["format"] == FORMAT and type(said["schema_step"]) is int and isinstance(said["tables"], dict)
    except (OSError, ValueError, KeyError, TypeError, RecursionError) as error:
        raise BadArchive(f"{SCHEMA_FILE} is missing or unreadable") from error
    if not is_ours:
        raise BadArchive(f"{SCHEMA_FILE} is not that of an archive")
    if said.get("version") != FORMAT_VERSION:
        raise BadArchive("it was written by a newer Breakdesk: install the newest version")
    found: dict[str, Any] = said
    return found


def _private(path: Path) -> Any:
    return os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb")
