"""Write tables as CSV (RFC 4180, UTF-8) and XLSX; text never becomes a formula, and reading it back gives it again."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from itertools import chain
from pathlib import Path
from typing import Any, BinaryIO

from breakdesk.files.plain_text import harmless, without_formula
from breakdesk.files.private import for_its_owner

Cell = str | int | Decimal | date | datetime | bool | None
"""What a cell can hold. Amounts are Decimal; an instant is aware and is written in ISO 8601."""

LONGEST_XLSX_CELL = 32_767
"""Characters a cell of a workbook can hold (ECMA-376 as every program keeps it, from memory)."""
_CUT = " [shortened]"
_NOT_IN_A_TITLE = str.maketrans("", "", "[]:*?/\\")
_LONGEST_TITLE = 31


@dataclass(frozen=True, slots=True)
class SheetToWrite:
    """One sheet of a workbook."""

    title: str
    header: Sequence[str]
    rows: Iterable[Sequence[Cell]]


def write_csv(file: BinaryIO, header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> None:
    """Write a header and rows to a binary file, such as `sys.stdout.buffer`; it stays open.

    Text that a spreadsheet would take for a formula gets a single quote before it, control characters are spelled out.
    """
    text = io.TextIOWrapper(file, encoding="utf-8", newline="", write_through=True)
    try:
        writer = csv.writer(text, lineterminator="\r\n")
        writer.writerow([_as_text(heading) for heading in header])
        writer.writerows([_as_text(cell) for cell in row] for row in rows)
        text.flush()
    finally:
        text.detach()


def csv_text(header: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    """Return what `write_csv` writes, as text."""
    file = io.BytesIO()
    write_csv(file, header, rows)
    return file.getvalue().decode("utf-8")


def write_xlsx(path: Path, sheets: Sequence[SheetToWrite]) -> None:
    """Write a workbook that only its owner can read, one sheet a table; it replaces a file of that name.

    Numbers and dates stay what they are, text is text and never a formula. Raises OSError where the file cannot be
    written.
    """
    unfinished = path.with_name(f".{path.name}.unfinished")
    try:
        with open(unfinished, "wb", opener=for_its_owner) as file:
            _write_workbook(file, sheets)
        unfinished.replace(path)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise


def _write_workbook(file: BinaryIO, sheets: Sequence[SheetToWrite]) -> None:
    # The library takes a while to load, and most exports are CSV.
    from openpyxl import Workbook

    book = Workbook(write_only=True)
    titles: set[str] = set()
    try:
        for sheet in sheets:
            page = book.create_sheet(_title(sheet.title, titles))
            page.freeze_panes = "A2"
            for row in chain([sheet.header], sheet.rows):
                page.append([_cell(page, value) for value in row])
    finally:
        # A sheet writes to a file of its own until it is closed, also where its rows break off.
        for page in book.worksheets:
            page.close()
    book.save(file)


def _cell(page: Any, value: Cell) -> Any:
    """Return a number or a day as it is, anything else as a cell of text."""
    from openpyxl.cell import WriteOnlyCell

    is_number = isinstance(value, int | Decimal) and not isinstance(value, bool)
    is_day = isinstance(value, date) and not isinstance(value, datetime)
    if value is None or is_number or is_day:
        return value
    text = _shortened(_as_text(value))
    # The library takes text such as #N/A for a failed formula; no text begins with = any more.
    if not text.startswith("#"):
        return text
    cell = WriteOnlyCell(page, value=text)
    cell.data_type = "s"
    return cell


def _as_text(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return without_formula(harmless(value))
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return value.isoformat()
    return format(value, "f") if isinstance(value, Decimal) else str(value)


def _shortened(text: str) -> str:
    """Return the text with line breaks as XML keeps them, and no longer than a cell can be."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    return text if len(text) <= LONGEST_XLSX_CELL else text[: LONGEST_XLSX_CELL - len(_CUT)] + _CUT


def _title(wanted: str, taken: set[str]) -> str:
    """Return a title that a workbook accepts and that no other sheet has."""
    base = harmless(wanted).translate(_NOT_IN_A_TITLE).strip("' ")[:_LONGEST_TITLE] or "Sheet"
    title, number = base, 2
    while title.casefold() in taken:
        suffix = f" {number}"
        title, number = base[: _LONGEST_TITLE - len(suffix)] + suffix, number + 1
    taken.add(title.casefold())
    return title
