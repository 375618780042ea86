"""A whole desk as open files: JSON lines or CSV, one file a table, photos and wording, and a schema that explains it.

Nothing is left out and nothing is opened: codes and the photos that show them stay sealed, and the key file is not part
of it. Each file has its SHA-256 in the schema; the desk that is loaded back is written out again in memory and has to
give the same ones.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from breakdesk.store import kept_files
from breakdesk.store.archive_rows import FORMS, Form
from breakdesk.store.backup_files import photos_named
from breakdesk.store.engine import ENGINE_ERRORS, connect_aside, run
from breakdesk.store.kept_files import PHOTOS, KeptFile, WrongFile, files_folder
from breakdesk.store.migrations import steps, taken
from breakdesk.store.models import TABLES
from breakdesk.store.models.base import StrictSqlite

FORMAT, FORMAT_VERSION = "breakdesk archive", 1
SCHEMA_FILE = "schema.json"
FILES_FOLDER = "files"
_MEANINGS = {
    "DayField": "calendar day, YYYY-MM-DD (ISO 8601)",
    "InstantField": "instant, whole microseconds since 1970-01-01T00:00:00Z",
    "FlagField": "1 for yes, 0 for no",
    "BlobField": "bytes, in base 64",
}
_ABOUT = (
    "Every table of a desk, one row a line or record, in the order of the primary key. Whole numbers have up to 63 "
    "bits. Money is in minor units of the currency beside it. Codes and photos that show them are sealed "
    "(AES-256-GCM); the key is not here. The history's hashes are explained in docs/promises.md."
)
_ABOUT_FORM = {
    "json": 'JSON lines: one object a row; bytes as {"base64": "…"}.',
    "csv": (
        "CSV (RFC 4180, UTF-8): a header, then one record a row. An empty cell is no value. An apostrophe at the "
        "beginning of a text is not part of it: empty texts and those that a spreadsheet could take for a formula "
        "have one."
    ),
}


class BadArchive(Exception):  # noqa: N818 - named for what a person reads
    """The files are no archive, or they were changed since they were written; says which."""


@dataclass(frozen=True, slots=True)
class Archived:
    """What was written or loaded; `missing` are photos of the desk that are not there."""

    tables: int
    rows: int
    files: int
    missing: tuple[str, ...] = ()


def write_archive(desk_path: Path, folder: Path, made_at: str, form_name: str = "json") -> Archived:
    """Writes the desk as it is at one moment into an empty folder. Raises OSError, WrongFile, the engine's errors."""
    form = FORMS[form_name]
    database = connect_aside(desk_path)
    try:
        run(database, "BEGIN")
        described, rows = {}, 0
        for name in _tables_of(database):
            count, digest = _write_table(database, name, folder, form)
            described[name] = {"columns": _described(database, name), "rows": count, "sha256": digest}
            rows += count
        photos, step = photos_named(database), taken(database)
        run(database, "ROLLBACK")
    finally:
        database.close()
    files = _write_files(files_folder(desk_path), folder / FILES_FOLDER)
    schema = {
        "format": FORMAT,
        "version": FORMAT_VERSION,
        "about": f"{_ABOUT} {_ABOUT_FORM[form_name]}",
        "form": form_name,
        "made_at": made_at,
        "schema_step": step,
        "tables": described,
        "files": kept_files.listed(files),
    }
    with _private(folder / SCHEMA_FILE) as file:
        file.write(json.dumps(schema, indent=2, ensure_ascii=True).encode() + b"\n")
        os.fsync(file.fileno())
    names = {file.name for file in files}
    missing = tuple(photo for photo in photos if f"{PHOTOS}/{photo}" not in names)
    return Archived(len(described), rows, len(files), missing)


def read_archive(folder: Path, new: Path, new_folder: Path) -> Archived:
    """Loads an archive into a new, empty file and its files into a new folder, and compares every one.

    Raises BadArchive, OSError, engine errors.
    """
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
            rows += _read_table(database, name, folder, FORMS[schema["form"]])
            count, digest = _measured(database, name, FORMS[schema["form"]])
            if (count, digest) != (described.get("rows"), described.get("sha256")):
                raise BadArchive(f"{name}{FORMS[schema['form']].suffix} was changed since it was written")
        if run(database, "PRAGMA foreign_key_check").fetchone() is not None:
            raise BadArchive("a row refers to something that is not there")
        run(database, "COMMIT")
        tables, photos = len(_tables_of(database)), photos_named(database)
    finally:
        database.close()
    files = _read_files(schema.get("files"), folder / FILES_FOLDER, new_folder)
    names = {file.name for file in files}
    return Archived(tables, rows, len(files), tuple(photo for photo in photos if f"{PHOTOS}/{photo}" not in names))


def _write_files(source: Path, target: Path) -> list[KeptFile]:
    files = []
    for name, path in kept_files.files_in(source)[0]:
        file = kept_files.measured(name, path)
        kept_files.copy_proved(path, target / name, file.digest)
        files.append(file)
    return files


def _read_files(said: object, source: Path, target: Path) -> list[KeptFile]:
    try:
        files = kept_files.read_listed(said)
    except WrongFile as error:
        raise BadArchive(f"{SCHEMA_FILE}: {error}") from None
    for file in files:
        try:
            if (source / file.name).stat().st_size != file.size:
                raise WrongFile
            kept_files.copy_proved(source / file.name, target / file.name, file.digest)
        except FileNotFoundError:
            raise BadArchive(f"{FILES_FOLDER}/{file.name} is missing") from None
        except WrongFile:
            raise BadArchive(f"{FILES_FOLDER}/{file.name} was changed since it was written") from None
    return files


def tables_and_digests(desk_path: Path) -> dict[str, tuple[int, str]]:
    """How many rows each table of a desk has and the digest over them, to compare two desks."""
    database = connect_aside(desk_path)
    try:
        return {name: _measured(database, name, FORMS["json"]) for name in _tables_of(database)}
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


def _rows(database: StrictSqlite, table: str, form: Form) -> Iterator[bytes]:
    names = [name for name, _ in _columns(database, table)]
    listed = ", ".join(f'"{name}"' for name in names)
    for row in run(database, f'SELECT {listed} FROM "{table}" ORDER BY 1'):
        yield form.row(names, row)


def _measured(database: StrictSqlite, table: str, form: Form) -> tuple[int, str]:
    running, count = hashlib.sha256(), 0
    for line in _rows(database, table, form):
        running.update(line)
        count += 1
    return count, running.hexdigest()


def _write_table(database: StrictSqlite, table: str, folder: Path, form: Form) -> tuple[int, str]:
    running, count = hashlib.sha256(), 0
    with _private(folder / f"{table}{form.suffix}") as file:
        file.write(form.head([name for name, _ in _columns(database, table)]))
        for line in _rows(database, table, form):
            running.update(line)
            file.write(line)
            count += 1
        file.flush()
        os.fsync(file.fileno())
    return count, running.hexdigest()


def _read_table(database: StrictSqlite, table: str, folder: Path, form: Form) -> int:
    # Names of tables and columns come from our own schema, never from the file.
    path = folder / f"{table}{form.suffix}"
    names, kinds = zip(*_columns(database, table), strict=True)
    listed, marks = ", ".join(f'"{name}"' for name in names), ", ".join("?" for _ in names)
    count = 0
    try:
        for values in form.rows(path, names, kinds):
            run(database, f'INSERT INTO "{table}" ({listed}) VALUES ({marks})', values)
            count += 1
    except FileNotFoundError:
        raise BadArchive(f"{path.name} is missing") from None
    except (ValueError, RecursionError, OverflowError, *ENGINE_ERRORS) as error:
        if isinstance(error, ENGINE_ERRORS) and "full" in str(error):
            raise
        raise BadArchive(f"{path.name}, row {count + 1}, is no row of the table {table}") from error
    return count


def _schema(folder: Path) -> dict[str, Any]:
    try:
        said = json.loads((folder / SCHEMA_FILE).read_text(encoding="ascii"))
        is_ours = said["format"] == FORMAT and type(said["schema_step"]) is int and isinstance(said["tables"], dict)
        is_ours = is_ours and said["form"] in list(FORMS)
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
