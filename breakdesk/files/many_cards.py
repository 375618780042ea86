"""Several cards in one cell of a list of claims, each on a line of its own: each becomes a claim."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Final

from breakdesk.files.headers import Kind
from breakdesk.files.problems import Problem, Severity
from breakdesk.files.tables import Table

NumberedCells = tuple[int, tuple[str, ...]]

MOST_CARDS: Final = 50
_ONLY_ONE_HAS_IT: Final = ("tag", "code", "value", "serial", "closed_amount")
"""What can be true of one card only, so that one line of it cannot be shared out."""
# "Rook Ashby / Cal Dunmore", "Rook Ashby, Cal Dunmore", "2x Rook Ashby"; a suffix behind a comma is one word.
_MAYBE_SEVERAL: Final = re.compile(r"\s[/+]\s|,\s+\S+\s+\S|^\s*[0-9]{1,2}\s?x\s")
_EACH_LINE: Final = "Write one line of it for each card, or give each card a row of its own."


def with_one_card_a_row(table: Table, rows: list[NumberedCells], problems: list[Problem]) -> list[NumberedCells]:
    """Rows of claims with several lines in the cell of the subject become as many rows.

    A cell with as many lines gives one to each, any other cell counts for all of them.
    """
    if table.kind is not Kind.CLAIMS or "subject" not in table.columns:
        return rows
    subject = table.columns.index("subject")
    problems.extend(_perhaps_several(table, rows, subject))
    # Most lists have one card a row, and looking is all that those cost.
    if not any("\n" in cells[subject] or "\r" in cells[subject] for _, cells in rows):
        return rows
    parted: list[NumberedCells] = []
    for line, cells in rows:
        cards = _lines(cells[subject])
        if len(cards) < 2:
            parted.append((line, cells))
            continue
        if len(cards) > MOST_CARDS:
            what = f"one cell holds {len(cards)} cards"
            problems.append(Problem(table.file, line, "subject", None, what, "Give each card a row of its own."))
            continue
        problems.extend(_shared(table, line, cells, len(cards)))
        what = f"this cell holds {len(cards)} lines and becomes as many claims"
        remedy = "Put ; between the subjects of one card, if it is one."
        problems.append(Problem(table.file, line, "subject", None, what, remedy, Severity.WARNING))
        parted += [(line, _cells_of(cells, number, len(cards))) for number in range(len(cards))]
    return parted


def _perhaps_several(table: Table, rows: list[NumberedCells], subject: int) -> Iterator[Problem]:
    """Cells of one line that may hold several cards, which nobody but their writer can tell."""
    for line, cells in rows:
        if _MAYBE_SEVERAL.search(cells[subject]):
            what = "these may be several cards, and are taken for one"
            remedy = "Write each card on a line of its own in the cell, or ; between the subjects of one card."
            yield Problem(table.file, line, "subject", cells[subject], what, remedy, Severity.WARNING)


def _lines(cell: str) -> list[str]:
    return [line.strip() for line in cell.splitlines() if line.strip()]


def _cells_of(cells: Sequence[str], number: int, count: int) -> tuple[str, ...]:
    found = (_lines(cell) for cell in cells)
    return tuple(lines[number] if len(lines) == count else cell for lines, cell in zip(found, cells, strict=True))


def _shared(table: Table, line: int, cells: Sequence[str], count: int) -> list[Problem]:
    """What stands once beside several cards and can belong to one of them only."""
    return [
        Problem(table.file, line, column, None, f"there are {count} cards, but not as many lines here", _EACH_LINE)
        for column, cell in zip(table.columns, cells, strict=True)
        if column in _ONLY_ONE_HAS_IT and cell.strip() and len(_lines(cell)) != count
    ]
