"""Cells that a workbook merges over several rows: what stands in the first of them counts for every one."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import IO, Any, Final

MOST_MERGED: Final = 100_000
"""Merged cells looked at in one sheet; what stands beyond is read as it stands."""
_CHUNK: Final = 1024 * 1024
_LONGEST_MARK: Final = 256
# ECMA-376, 18.3.1.55: a merged cell names its first and its last cell.
_MERGED: Final = re.compile(
    rb"""<(?:[A-Za-z]+:)?mergeCell\s[^>]*?ref\s*=\s*["']([A-Z]{1,3})([0-9]{1,7}):[A-Z]{1,3}([0-9]{1,7})["']"""
)


@dataclass(frozen=True, slots=True, order=True)
class MergedDown:
    """A cell that reaches over several rows, from `first` to `last`, counted from 1; `column` counts from 0."""

    first: int
    last: int
    column: int


def merged_down(sheet: IO[bytes]) -> list[MergedDown]:
    """Find the cells of a sheet's XML that are merged over more than one row, in the order of their first rows."""
    found: set[MergedDown] = set()
    rest = b""
    while chunk := sheet.read(_CHUNK):
        window = rest + chunk
        if b"mergeCell" in window:
            for mark in _MERGED.finditer(window):
                first, last = int(mark[2]), int(mark[3])
                if first < last and len(found) < MOST_MERGED:
                    found.add(MergedDown(first, last, _column(mark[1])))
        rest = window[-_LONGEST_MARK:]
    return sorted(found)


def with_merged_repeated(rows: Iterable[tuple[Any, ...]], merged: list[MergedDown]) -> Iterator[tuple[Any, ...]]:
    """Give the rows with the value of a merged cell in each row that it reaches over.

    A row in which nothing else stands stays empty: merging reaches over empty rows, too.
    """
    coming = iter(merged)
    following = next(coming, None)
    reaching: dict[int, tuple[int, Any]] = {}
    empty: tuple[Any, ...] | None = None
    for line, cells in enumerate(rows, start=1):
        filled = cells
        # Rows that the file skips come as one and the same empty tuple, perhaps a million times.
        if reaching and cells is not empty:
            if all(cell in (None, "") for cell in cells):
                empty = cells
            else:
                filled = _filled(cells, line, reaching)
        while following is not None and following.first <= line:
            value = cells[following.column] if following.column < len(cells) else None
            reaching[following.column] = (following.last, value)
            following = next(coming, None)
        yield filled


def _filled(cells: tuple[Any, ...], line: int, reaching: dict[int, tuple[int, Any]]) -> tuple[Any, ...]:
    values = list(cells)
    for column, (last, value) in list(reaching.items()):
        if line > last:
            del reaching[column]
        elif column < len(values) and values[column] in (None, ""):
            values[column] = value
    return tuple(values)


def _column(letters: bytes) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + letter - ord("A") + 1
    return number - 1
