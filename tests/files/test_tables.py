"""Tables are read whole with their lines, whatever the separator, encoding and line breaks; or it is said why not."""

from __future__ import annotations

import csv
import io
from datetime import date, datetime, time
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from breakdesk.files.headers import Kind
from breakdesk.files.problems import Severity, problem_sentence
from breakdesk.files.tables import Reading, Table, read_content, read_tables

# No quote before a formula character: that would be ours, and the reader takes it off.
CELLS = st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\0'"), max_size=12)


def only(reading: Reading) -> Table:
    assert not reading.problems, [problem_sentence(problem) for problem in reading.problems]
    (table,) = reading.tables
    return table


def sentences(reading: Reading) -> str:
    return "\n".join(problem_sentence(problem) for problem in reading.problems)


def workbook(**sheets: list[list[object]]) -> bytes:
    book = Workbook()
    book.remove(book.active)  # type: ignore[arg-type]
    for title, rows in sheets.items():
        sheet = book.create_sheet(title)
        for row in rows:
            sheet.append(row)
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


@given(
    rows=st.lists(st.tuples(CELLS, CELLS, CELLS), max_size=5),
    separator=st.sampled_from([",", ";", "\t"]),
    line_break=st.sampled_from(["\r\n", "\n"]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
@settings(max_examples=200, deadline=None)
def test_whatever_the_separator_line_break_and_encoding_the_cells_are_the_same(
    rows: list[tuple[str, str, str]], separator: str, line_break: str, encoding: str
) -> None:
    file = io.StringIO()
    writer = csv.writer(file, delimiter=separator, lineterminator=line_break, quoting=csv.QUOTE_ALL)
    writer.writerows([("spot", "break", "order"), *rows])
    table = only(read_content("a.csv", file.getvalue().encode(encoding)))
    assert [cells for _, cells in table.rows] == [row for row in rows if "".join(row).strip()]


def test_separators_within_quotes_of_the_header_do_not_count() -> None:
    table = only(read_content("a.csv", b'spot;"order"\n1;"a, b, c, d"\n'))
    assert table.rows == [(2, ("1", "a, b, c, d"))]
    reading = read_content("a.csv", b'spot;"order, number, of, sale"\n1;2\n')
    assert reading.tables[0].headings == ("spot", "order, number, of, sale")


def test_a_first_line_can_name_the_separator() -> None:
    assert only(read_content("a.csv", b"sep=;\r\nspot;order\r\na;1\r\n")).rows == [(3, ("a", "1"))]


def test_line_numbers_count_line_breaks_within_cells_and_empty_rows() -> None:
    content = b'spot,break\r\n"two\r\nlines",a\r\n\r\n,\r\nlast,b\r\n'
    table = only(read_content("a.csv", content))
    assert [line for line, _ in table.rows] == [2, 6]
    assert table.header_line == 1


def test_short_rows_are_filled_and_empty_cells_past_the_header_do_no_harm() -> None:
    assert only(read_content("a.csv", b"spot,break\na\nb,c,,\n")).rows == [(2, ("a", "")), (3, ("b", "c"))]


def test_everything_wrong_is_said_in_one_go() -> None:
    content = b'spot,Buyer,Customer,colour\na,b,c,d\ne,f,g,h,i\nk,l,m,n,o,p\n"q'
    said = sentences(read_content("a.csv", content))
    assert 'a.csv, line 1, column participant: two columns both mean participant, "Buyer" and this one' in said
    assert "a.csv, line 1: warning: columns that are not known for spots" in said
    assert "colour" in said
    assert "a.csv, line 3: the row has 5 cells, but the header only 4 columns." in said
    assert "a.csv, line 4: the row has 6 cells" in said
    assert "a.csv, line 5: a quote opens in this row and never closes" in said


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "the file is empty"),
        (b" \r\n\t", "the file is empty"),
        (b"\xef\xbb\xbf", "the file is empty"),
        (b"spot,break\n1,2\n\xe9,3\n", "line 3: the file is not text in UTF-8"),
        ("spot,break".encode("utf-16") + b"x", "not text in UTF-8"),
        (b"spot,break\n1,\x002\n", "line 2: the file holds a NUL"),
        (b"colour,size\n1,2\n", "there is no header"),
        (b'spot,break\n"a"b,c\n', "line 2: a quote in this row is followed by more text"),
        (b"spot," + b",".join(b"x%d" % number for number in range(250)), "more than 200 columns"),
        (b'spot\n"' + b"x" * 200_000, "line 2: a cell is longer than"),
        (b"\xd0\xcf\x11\xe0 old", "old format"),
        (b"PK\x03\x04 broken", "damaged"),
    ],
)
def test_what_cannot_be_read_is_said_in_a_sentence(content: bytes, said: str) -> None:
    reading = read_content("a.csv", content)
    assert said in sentences(reading)
    assert any(problem.severity is Severity.ERROR for problem in reading.problems)


def test_lines_above_the_header_are_left_out_with_a_warning() -> None:
    reading = read_content("a.csv", b"Our spring breaks,,\n\nspot,break,order\na,b,1\n")
    assert reading.tables[0].rows == [(4, ("a", "b", "1"))]
    assert [problem.severity for problem in reading.problems] == [Severity.WARNING]


def test_a_missing_file_and_a_folder_are_said(tmp_path: Path) -> None:
    assert "there is no such file" in sentences(read_tables(tmp_path / "none.csv"))
    assert sentences(read_tables(tmp_path))


def test_a_file_on_disk_is_read(tmp_path: Path) -> None:
    path = tmp_path / "spots.csv"
    path.write_bytes(b"spot\na\n")
    assert only(read_tables(path)).file == "spots.csv"


def test_a_workbook_gives_what_the_csv_file_would() -> None:
    moment = datetime(2026, 3, 1, 20, 15)  # noqa: DTZ001 - a workbook's times have no zone
    content = workbook(
        Claims=[
            ["Pulled", "Player", "Exp", "Value", "numbered_to", "note"],
            [moment, "Ana Moor", date(2027, 3, 31), 12.5, 25.0, True],
            [None, None, None, None, None, None],
            [date(2026, 3, 2), "Bo Lund", None, 0.1 + 0.2, 7, time(9, 0)],
        ]
    )
    table = only(read_content("book.xlsx", content))
    assert table.file == "book.xlsx, sheet Claims"
    assert table.kind is Kind.CLAIMS
    assert table.rows == [
        (2, ("2026-03-01 20:15:00", "Ana Moor", "2027-03-31", "12.5", "25", "yes")),
        (4, ("2026-03-02", "Bo Lund", "", "0.3", "7", "09:00")),
    ]


def test_every_sheet_with_a_known_header_is_a_table() -> None:
    content = workbook(
        Notes=[["remember", "this"]], Spots=[["spot"], ["a"]], Makers=[["maker"], ["Quillstone"]], Empty=[]
    )
    reading = read_content("book.xlsx", content)
    assert [table.kind for table in reading.tables] == [Kind.SPOTS, Kind.MAKERS]
    assert "sheet Notes, line 1: warning: this sheet is left out" in sentences(reading)


def test_a_workbook_without_a_known_header_is_an_error() -> None:
    reading = read_content("book.xlsx", workbook(Notes=[["remember", "this"]]))
    assert [problem.severity for problem in reading.problems] == [Severity.ERROR]
    assert "empty" in sentences(read_content("book.xlsx", workbook(Empty=[])))


def test_a_formula_that_was_never_calculated_is_not_an_empty_cell() -> None:
    reading = read_content("book.xlsx", workbook(Spots=[["spot", "price"], ["a", "=1+1"]]))
    assert "line 2: a formula has never been calculated" in sentences(reading)


def test_a_cell_merged_over_rows_counts_in_each_of_them_but_fills_no_empty_row() -> None:
    book = Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["pulled_at", "maker", "subject"])
    for subject in ("Kit Moor", "Lee Dunn", None, "Una Dale", "Rook Ashby"):
        sheet.append([None, None, subject])
    sheet["A2"], sheet["B2"], sheet["A6"], sheet["B6"] = date(2026, 3, 4), "Tern Cards", "2026-03-05", "Larkspur Cards"
    sheet.merge_cells("A2:A5")
    sheet.merge_cells("B2:B5")
    file = io.BytesIO()
    book.save(file)
    table = only(read_content("merged.xlsx", file.getvalue()))
    assert table.rows == [
        (2, ("2026-03-04", "Tern Cards", "Kit Moor")),
        (3, ("2026-03-04", "Tern Cards", "Lee Dunn")),
        (5, ("2026-03-04", "Tern Cards", "Una Dale")),
        (6, ("2026-03-05", "Larkspur Cards", "Rook Ashby")),
    ]


def test_headings_below_one_that_is_merged_over_several_columns_are_the_header() -> None:
    rows: list[list[object]] = [
        ["Pulled", "Buyer", "Card", None, "Maker"],
        [None, None, "Player", "Parallel", None],
        ["2026-03-04", "Ada Fenn", "Kit Moor", "Gold", "Tern Cards"],
    ]
    reading = read_content("two.xlsx", workbook(Owed=rows))
    (table,) = reading.tables
    assert table.kind is Kind.CLAIMS
    assert table.columns == ("pulled_at", "participant", "subject", "variation", "maker")
    assert [line for line, _ in table.rows] == [3]
