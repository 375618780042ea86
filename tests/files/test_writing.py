"""What is written reads back the same, and neither a spreadsheet nor a terminal takes text for anything else."""

from __future__ import annotations

import csv
import io
import os
import stat
import sys
from datetime import UTC, date, datetime
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from breakdesk.files.tables import read_content, read_tables
from breakdesk.files.writing import SheetToWrite, csv_text, write_csv, write_xlsx

HEADER = ("spot", "break", "order")
# Control characters are spelled out on purpose, so they do not come back; everything else must.
TEXT = st.text(
    st.characters(exclude_categories=["Cs"], exclude_characters="\u2028\u2029\ufffe\uffff")
    .filter(lambda character: (character >= " " or character in "\t\n\r") and not "\x7f" <= character <= "\x9f")
    .filter(lambda character: character not in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"),
    max_size=12,
)
LEADING = st.sampled_from(["", "=", "+", "-", "@", "\t", "\r", "\n", "'", "'=", "''@", "'\t"])
CELL = st.builds(str.__add__, LEADING, TEXT)
ROWS = st.lists(st.tuples(CELL, CELL, CELL), max_size=4)


@given(ROWS)
@settings(max_examples=200, deadline=None)
def test_text_written_as_csv_reads_back_the_same(rows: list[tuple[str, str, str]]) -> None:
    reading = read_content("a.csv", csv_text(HEADER, rows).encode())
    assert not reading.problems
    assert [cells for _, cells in reading.tables[0].rows] == [row for row in rows if "".join(row).strip()]


@given(ROWS)
@settings(max_examples=40, deadline=None)
def test_text_written_as_xlsx_reads_back_with_plain_line_breaks(
    tmp_path_factory: pytest.TempPathFactory, rows: list[tuple[str, str, str]]
) -> None:
    path = tmp_path_factory.getbasetemp() / "round.xlsx"
    write_xlsx(path, [SheetToWrite("Spots", HEADER, rows)])
    reading = read_tables(path)
    assert not reading.problems
    expected = [tuple(cell.replace("\r\n", "\n").replace("\r", "\n") for cell in row) for row in rows]
    assert [cells for _, cells in reading.tables[0].rows] == [row for row in expected if "".join(row).strip()]


@given(st.lists(st.text(max_size=12), min_size=1, max_size=4))
@settings(max_examples=200, deadline=None)
def test_no_cell_begins_a_formula_and_no_control_character_is_written(texts: list[str]) -> None:
    written = csv_text(["heading"] * len(texts), [texts])
    assert not set(written) - set("\t\r\n") & set(map(chr, [*range(0x20), *range(0x7F, 0xA0), 0x202E, 0x2066]))
    for cell in list(csv.reader(io.StringIO(written, newline="")))[1]:
        assert not cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n"))


def test_numbers_days_and_instants_are_written_as_themselves() -> None:
    instant = datetime(2026, 1, 10, 20, 15, tzinfo=UTC)
    row = (-5, Decimal("12.50"), date(2026, 1, 10), instant, True, None)
    assert csv_text("abcdef", [row]) == "a,b,c,d,e,f\r\n-5,12.50,2026-01-10,2026-01-10T20:15:00+00:00,yes,\r\n"


def test_a_workbook_holds_numbers_and_days_as_themselves_and_text_as_text(tmp_path: Path) -> None:
    path = tmp_path / "desk.xlsx"
    write_xlsx(
        path,
        [
            SheetToWrite(
                "Owed: all", ["a", "b", "c", "d", "e"], [(-5, Decimal("12.50"), date(2026, 1, 10), "=1+1", "#N/A")]
            )
        ],
    )
    (sheet,) = load_workbook(path).worksheets
    number, amount, day, text, name = next(sheet.iter_rows(min_row=2))
    assert (number.value, amount.value, day.value) == (-5, 12.5, datetime(2026, 1, 10))  # noqa: DTZ001 - as read
    assert (text.value, text.data_type) == ("'=1+1", "s")
    assert (name.value, name.data_type) == ("#N/A", "s")


def test_sheets_get_titles_that_a_workbook_accepts(tmp_path: Path) -> None:
    path = tmp_path / "desk.xlsx"
    sheets = [SheetToWrite(title, ["maker"], [["Quillstone"]]) for title in ("a/b", "A:B", "x" * 50, "[]", "")]
    write_xlsx(path, sheets)
    assert load_workbook(path).sheetnames == ["ab", "AB 2", "x" * 31, "Sheet", "Sheet 2"]


def test_a_cell_too_long_for_a_workbook_says_that_it_was_shortened(tmp_path: Path) -> None:
    path = tmp_path / "desk.xlsx"
    write_xlsx(path, [SheetToWrite("Notes", ["note"], [["x" * 40_000]])])
    value = load_workbook(path).worksheets[0]["A2"].value
    assert isinstance(value, str)
    assert len(value) == 32_767
    assert value.endswith("[shortened]")


def test_a_failed_write_leaves_the_old_file_and_no_other(tmp_path: Path) -> None:
    path = tmp_path / "desk.xlsx"
    path.write_bytes(b"old")

    def rows() -> object:
        yield ["fine"]
        raise RuntimeError("stop")

    with pytest.raises(RuntimeError):
        write_xlsx(path, [SheetToWrite("Notes", ["note"], rows())])  # type: ignore[arg-type]
    assert [(found.name, found.read_bytes()) for found in tmp_path.iterdir()] == [("desk.xlsx", b"old")]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows keeps other rights")
def test_a_workbook_can_be_read_by_its_owner_only(tmp_path: Path) -> None:
    path = tmp_path / "desk.xlsx"
    write_xlsx(path, [SheetToWrite("Notes", ["note"], [])])
    assert stat.S_IMODE(os.stat(path).st_mode) == 0o600  # noqa: PTH116


def test_the_file_stays_open_after_writing() -> None:
    file = io.BytesIO()
    write_csv(file, ["a"], [["b"]])
    write_csv(file, ["c"], [])
    assert file.getvalue() == b"a\r\nb\r\nc\r\n"
