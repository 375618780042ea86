"""The rows of a table as open text, and back without a difference: JSON lines, or CSV (RFC 4180).

In a CSV cell nothing at all is no value. Text that is empty, or begins with a sign that a spreadsheet could take for a
formula, or with an apostrophe, stands behind an apostrophe, which reading takes away again. Bytes are in base 64.
"""

from __future__ import annotations

import base64
import csv
import io
import json
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Protocol

LONGEST_LINE = 16 * 1024 * 1024
# OWASP, "CSV Injection": = + - @, tab, carriage return, line feed; the apostrophe so that it can be taken away again.
_BEHIND_AN_APOSTROPHE = ("=", "+", "-", "@", "\t", "\r", "\n", "'")


class Form(Protocol):
    """How the rows of a table are written."""

    suffix: str

    def head(self, names: Sequence[str]) -> bytes:
        """What stands before the rows."""

    def row(self, names: Sequence[str], values: Sequence[Any]) -> bytes:
        """One row, with its end."""

    def rows(self, path: Path, names: Sequence[str], kinds: Sequence[str]) -> Iterator[list[Any]]:
        """The rows of a file in stored form. Raises ValueError for what is no row of the table, OSError."""


class JsonLines:
    """One JSON object a line."""

    suffix = ".jsonl"

    def head(self, names: Sequence[str]) -> bytes:
        """Nothing: every line names its columns."""
        return b""

    def row(self, names: Sequence[str], values: Sequence[Any]) -> bytes:
        """The row as an object; bytes as {"base64": "…"}."""
        said = {name: _as_json(value) for name, value in zip(names, values, strict=True)}
        return json.dumps(said, ensure_ascii=True, separators=(",", ":")).encode() + b"\n"

    def rows(self, path: Path, names: Sequence[str], kinds: Sequence[str]) -> Iterator[list[Any]]:
        """The objects of a file as rows."""
        with path.open("rb") as file:
            while line := file.readline(LONGEST_LINE):
                said = json.loads(line)
                if not isinstance(said, dict) or set(said) != set(names):
                    raise ValueError("other columns")
                yield [_from_json(said[name]) for name in names]


class CsvTable:
    """A header and one record a row."""

    suffix = ".csv"

    def head(self, names: Sequence[str]) -> bytes:
        """The header."""
        return self._record(names)

    def row(self, names: Sequence[str], values: Sequence[Any]) -> bytes:
        """The row as a record."""
        return self._record([_as_cell(value) for value in values])

    def rows(self, path: Path, names: Sequence[str], kinds: Sequence[str]) -> Iterator[list[Any]]:
        """The records of a file as rows; `kinds` are the columns' types."""
        # Cells are larger than the module takes by default; what another thread reads may be as well.
        csv.field_size_limit(max(csv.field_size_limit(), LONGEST_LINE))
        with path.open(encoding="utf-8", newline="") as file:
            records = csv.reader(file, strict=True)
            try:
                if next(records, None) != list(names):
                    raise ValueError("other columns")
                for record in records:
                    if len(record) != len(names):
                        raise ValueError("other columns")
                    yield [_from_cell(cell, kind) for cell, kind in zip(record, kinds, strict=True)]
            except csv.Error as error:
                raise ValueError("no record") from error

    def _record(self, cells: Sequence[str]) -> bytes:
        text = io.StringIO()
        csv.writer(text, lineterminator="\r\n").writerow(cells)
        return text.getvalue().encode()


FORMS: dict[str, Form] = {"json": JsonLines(), "csv": CsvTable()}
"""The forms that an archive can have, by their names."""


def _as_json(value: Any) -> Any:
    return {"base64": base64.b64encode(value).decode()} if isinstance(value, bytes | memoryview) else value


def _from_json(value: Any) -> Any:
    if isinstance(value, dict) and set(value) == {"base64"}:
        return base64.b64decode(value["base64"], validate=True)
    if value is None or type(value) in (str, int):
        return value
    raise ValueError("no value of a desk")


def _as_cell(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bytes | memoryview):
        return base64.b64encode(value).decode() or "'"
    if isinstance(value, int):
        return str(value)
    text = str(value)
    return f"'{text}" if not text or text.startswith(_BEHIND_AN_APOSTROPHE) else text


def _from_cell(cell: str, kind: str) -> Any:
    if not cell:
        return None
    if kind == "INTEGER":
        return int(cell)
    text = cell.removeprefix("'")
    return base64.b64decode(text, validate=True) if kind == "BLOB" else text
