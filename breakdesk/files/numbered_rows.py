"""What a reader hands on: the rows of one sheet as text, each with the line on which it begins."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

NumberedRow = tuple[int, list[str]]


@dataclass(frozen=True, slots=True)
class Sheet:
    """Rows to read once, in order; `title` is empty for a file that has no sheets."""

    title: str
    rows: Iterator[NumberedRow]


class CannotRead(Exception):  # noqa: N818 - it is not a bug but the end of what can be read
    """Reading ends at `line` (None: nowhere in particular); what is wrong, and what to do."""

    def __init__(self, what: str, remedy: str, line: int | None = None) -> None:
        super().__init__(what)
        self.what = what
        self.remedy = remedy
        self.line = line
