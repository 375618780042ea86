"""Small tables with a header that are no file of the desk: lists of arrived cards, tracking numbers that come back."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from breakdesk.files.csv_rows import read_csv
from breakdesk.files.headers import folded_heading
from breakdesk.files.limits import MOST_FILE_BYTES, MOST_ROWS
from breakdesk.files.numbered_rows import CannotRead, NumberedRow, Sheet


@dataclass(frozen=True, slots=True)
class NamedRow:
    """One filled row: the line on which it begins, and its cells by our names for the columns."""

    line: int
    cells: Mapping[str, str]

    def get(self, column: str) -> str:
        """A cell without blanks around it; empty where the file has no such column."""
        return self.cells.get(column, "").strip()


@dataclass(frozen=True, slots=True)
class NamedRows:
    """The rows of a small table, its unknown columns, or the one sentence that says why it cannot be read."""

    rows: tuple[NamedRow, ...] = ()
    unknown: tuple[str, ...] = ()
    problem: str = ""


def read_named_rows(path: Path, columns: Mapping[str, Sequence[str]], needed: Sequence[str]) -> NamedRows:
    """Reads a CSV file or the first sheet of a workbook.

    `columns` are our names with the other headings that mean them; `needed` must be there.
    """
    try:
        if path.stat().st_size > MOST_FILE_BYTES:
            return NamedRows(problem=f"{path.name} is too large. Split it into several files.")
        content = path.read_bytes()
    except (OSError, ValueError):
        return NamedRows(problem=f"{path.name} cannot be read. Check its folder and the spelling of its name.")
    try:
        return _read(path.name, iter(_sheet(content).rows), columns, needed)
    except CannotRead as end:
        place = f", line {end.line}" if end.line else ""
        return NamedRows(problem=f"{path.name}{place}: {end.what}. {end.remedy}")


def _sheet(content: bytes) -> Sheet:
    if content.startswith(b"PK\x03\x04"):
        from breakdesk.files.xlsx_rows import read_xlsx

        return next(iter(read_xlsx(content)))
    return read_csv(content)


def _read(
    name: str, rows: Iterator[NumberedRow], columns: Mapping[str, Sequence[str]], needed: Sequence[str]
) -> NamedRows:
    meanings = {folded_heading(word): column for column, words in columns.items() for word in words}
    meanings |= {folded_heading(column): column for column in columns}
    header = next(((line, cells) for line, cells in rows if any(cell.strip() for cell in cells)), None)
    if header is None:
        return NamedRows(problem=f"{name} is empty.")
    line, headings = header
    named = [meanings.get(folded_heading(heading)) for heading in headings]
    missing = [column for column in needed if column not in named]
    if missing:
        known = ", ".join(columns)
        return NamedRows(problem=f"{name}, line {line}: there is no column {missing[0]}. Known columns are {known}.")
    doubled = next((column for column in named if column is not None and named.count(column) > 1), None)
    if doubled is not None:
        return NamedRows(problem=f"{name}, line {line}: two columns both mean {doubled}. Delete one.")
    found: list[NamedRow] = []
    for at, cells in rows:
        if not any(cell.strip() for cell in cells):
            continue
        if len(found) == MOST_ROWS:
            return NamedRows(problem=f"{name}, line {at}: there are more than {MOST_ROWS:,} rows. Split the file.")
        pairs = zip(named, cells, strict=False)
        found.append(NamedRow(at, {column: cell for column, cell in pairs if column is not None}))
    unknown = tuple(
        heading.strip() for column, heading in zip(named, headings, strict=True) if column is None and heading.strip()
    )
    return NamedRows(tuple(found), unknown)
