"""Rows of the sheets of an XLSX workbook, every cell as the text that a CSV file would hold."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterator
from datetime import date, datetime, time, timedelta
from typing import Any

from openpyxl import load_workbook

from breakdesk.files.limits import MOST_COLUMNS, MOST_ROWS
from breakdesk.files.merged_cells import MergedDown, merged_down, with_merged_repeated
from breakdesk.files.numbered_rows import CannotRead, NumberedRow, Sheet
from breakdesk.files.plain_text import with_formula_start
from breakdesk.files.workbook_guard import check_workbook

_DAMAGED = "the workbook is damaged, or not a workbook"
_SAVE_AGAIN = "Open it in a spreadsheet program and save the table as a new workbook (.xlsx), or as CSV UTF-8."
_CALCULATE = "Open it in a spreadsheet program, let it calculate, and save it; or replace the formula by its value."


def read_xlsx(content: bytes) -> Iterator[Sheet]:
    """Give the visible sheets of a workbook, formulas as the values they had when it was saved.

    Raises CannotRead, at the first sheet or while its rows are read, for what cannot be taken.
    """
    check_workbook(content)
    values = _opened(content, data_only=True)
    formulas = _opened(content, data_only=False) if _has_formulas(content) else None
    for position, sheet in enumerate(values.worksheets):
        if sheet.sheet_state == "visible":
            twin = formulas.worksheets[position] if formulas else None
            yield Sheet(sheet.title, _rows(sheet, twin))


def _opened(content: bytes, *, data_only: bool) -> Any:
    try:
        return load_workbook(io.BytesIO(content), read_only=True, data_only=data_only, keep_links=False)
    # A file made to break readers makes openpyxl raise nearly anything: KeyError, ParseError, TypeError, …
    except Exception:
        raise CannotRead(_DAMAGED, _SAVE_AGAIN) from None


def _has_formulas(content: bytes) -> bool:
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        for name in archive.namelist():
            if "worksheets/" in name.casefold() and name.endswith(".xml"):
                with archive.open(name) as stream:
                    before = b""
                    while chunk := stream.read(1024 * 1024):
                        window = before + chunk
                        if b"<f>" in window or b"<f " in window:
                            return True
                        before = chunk[-2:]
    return False


def _rows(sheet: Any, twin: Any | None) -> Iterator[NumberedRow]:
    """Give the rows; `twin` is the same sheet with formulas in place of their values."""
    line = 0
    before: tuple[Any, ...] | None = None
    rows = _values(sheet)
    written = _values(twin) if twin is not None else None
    try:
        merged = _merged_down(sheet)
        if merged:
            rows = with_merged_repeated(rows, merged)
        for line, cells in enumerate(rows, start=1):
            formulas = next(written, ()) if written is not None else ()
            if line > MOST_ROWS:
                raise CannotRead(f"there are more than {MOST_ROWS:,} rows", "Split the sheet.", line)
            if len(cells) > MOST_COLUMNS and cells[MOST_COLUMNS] is not None:
                raise CannotRead(f"the row has more than {MOST_COLUMNS} columns", "Delete what is not needed.", line)
            # Rows that the file skips come as one and the same empty tuple, perhaps a million times.
            if cells is before:
                continue
            before = cells
            _check_formulas(cells, formulas, line)
            yield line, [_text(cell) for cell in cells]
    except CannotRead:
        raise
    # As for opening: a damaged sheet can make openpyxl raise nearly anything.
    except Exception:
        raise CannotRead(_DAMAGED, _SAVE_AGAIN, line + 1) from None


def _values(sheet: Any) -> Iterator[tuple[Any, ...]]:
    # What the sheet says of its own size may be wrong, or meant to harm.
    sheet.reset_dimensions()
    rows: Iterator[tuple[Any, ...]] = sheet.iter_rows(max_col=MOST_COLUMNS + 1, max_row=MOST_ROWS + 1, values_only=True)
    return rows


def _merged_down(sheet: Any) -> list[MergedDown]:
    # A sheet that is read row by row does not know its merged cells: they stand behind the rows.
    with sheet._get_source() as source:
        return merged_down(source)


def _check_formulas(cells: tuple[Any, ...], formulas: tuple[Any, ...], line: int) -> None:
    for cell, formula in zip(cells, formulas, strict=False):
        if cell is None and isinstance(formula, str) and formula.startswith("="):
            raise CannotRead("a formula has never been calculated", _CALCULATE, line)


def _text(value: Any) -> str:
    """Return a cell as text: dates in ISO 8601, without the midnight that a bare date gets in a workbook."""
    if value is None:
        return ""
    if isinstance(value, str):
        return with_formula_start(value)
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        # A workbook holds 15 significant digits.
        return str(int(value)) if value.is_integer() and abs(value) < 1e15 else f"{value:.15g}"
    if isinstance(value, datetime):
        whole_second = (value + timedelta(milliseconds=500)).replace(microsecond=0)
        return whole_second.date().isoformat() if whole_second.time() == time.min else whole_second.isoformat(sep=" ")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, time):
        return value.strftime("%H:%M")
    if isinstance(value, timedelta):
        minutes = round(value.total_seconds() / 60)
        return f"{minutes // 60:02}:{minutes % 60:02}"
    return str(value)
