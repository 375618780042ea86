"""A first look at a spreadsheet: its headings, what each is taken for, and a few of its cells."""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import islice
from pathlib import Path
from typing import Final

from breakdesk.files.column_map import ColumnMap, DateOrder, fits, heading_keys
from breakdesk.files.headers import Kind, read_header_as
from breakdesk.files.numbered_rows import CannotRead, NumberedRow
from breakdesk.files.problems import Problem
from breakdesk.files.tables import content_of, read_content, sheets_of

ROWS_LOOKED_AT: Final = 20
SAMPLES: Final = 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Sketch:
    """One table as somebody wrote it. `samples` holds, for each column, its first filled cells."""

    file: str
    kind: Kind
    headings: tuple[str, ...]
    columns: tuple[str | None, ...]
    samples: tuple[tuple[str, ...], ...]
    dates: str = ""

    @property
    def keys(self) -> tuple[str, ...]:
        """What a match of columns knows each column by."""
        return heading_keys(self.headings)

    @property
    def column_map(self) -> ColumnMap:
        """The match as it is now, guessed or given."""
        found = dict(zip(self.keys, self.columns, strict=True))
        return ColumnMap(kind=self.kind, columns=found, dates=DateOrder(self.dates or "ask"))


def sketch(path: Path, column_map: ColumnMap | None = None) -> Sketch | Problem:
    """Look at the first table of a file that a match fits or, with none, that has a header.

    Where no header is known, the first row with two filled cells is taken for one, and the table for claims. A file
    that cannot be read is a problem with its remedy.
    """
    try:
        content = content_of(path)
        reading = read_content(path.name, content, column_map)
        if reading.tables:
            fitting = (table for table in reading.tables if column_map is not None and fits(column_map, table.headings))
            table = next(fitting, reading.tables[0])
            rows = [cells for _, cells in table.rows]
            samples = tuple(_samples([row[place] for row in rows]) for place in range(len(table.columns)))
            return Sketch(
                file=table.file, kind=table.kind, headings=table.headings, columns=table.columns, samples=samples,
                dates=table.dates,
            )  # fmt: skip
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            for sheet in sheets_of(content):
                found = _unknown(path.name, sheet.title, sheet.rows)
                if found is not None:
                    return found
    except CannotRead as end:
        return Problem(path.name, end.line, None, None, end.what, end.remedy)
    return reading.problems[0]


def _unknown(name: str, title: str, rows: Iterator[NumberedRow]) -> Sketch | None:
    first = list(islice(((line, cells) for line, cells in rows if "".join(cells).strip()), ROWS_LOOKED_AT))
    for position, (_, cells) in enumerate(first):
        filled = [cell for cell in cells if cell.strip()]
        if len(filled) < 2:
            continue
        width = max(place for place, cell in enumerate(cells) if cell.strip()) + 1
        headings = tuple(cell.strip() for cell in cells[:width])
        below = [row for _, row in first[position + 1 :]]
        samples = tuple(_samples([row[place] for row in below if place < len(row)]) for place in range(width))
        guess = read_header_as(Kind.CLAIMS, headings)
        file = f"{name}, sheet {title}" if title else name
        return Sketch(file=file, kind=Kind.CLAIMS, headings=headings, columns=guess.columns, samples=samples)
    return None


def _samples(cells: list[str]) -> tuple[str, ...]:
    """The first different filled cells."""
    return tuple(islice(dict.fromkeys(cell.strip() for cell in cells if cell.strip()), SAMPLES))
