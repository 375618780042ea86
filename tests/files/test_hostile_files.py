"""No file, however it was made, crashes the reader, holds it up or fills the memory."""

from __future__ import annotations

import io
import time
import tracemalloc
import zipfile
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook

from breakdesk.files.limits import MOST_UNPACKED_BYTES
from breakdesk.files.problems import Severity, problem_sentence
from breakdesk.files.rows import parse_rows
from breakdesk.files.tables import Reading, read_content

SECONDS = 1.0


def read_all(content: bytes) -> Reading:
    """Read a file and its rows within the time, and word every problem."""
    start = time.process_time()
    reading = read_content("any.csv", content)
    problems = list(reading.problems)
    for table in reading.tables:
        problems += parse_rows(table, "America/Chicago", "USD", date(2026, 6, 1))[1]
    for problem in problems:
        assert "\x1b" not in problem_sentence(problem)
    assert time.process_time() - start < SECONDS
    return reading


def workbook_parts() -> dict[str, bytes]:
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.append(["spot", "price"])
    sheet.append(["Herons", 30])
    file = io.BytesIO()
    book.save(file)
    with zipfile.ZipFile(file) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def packed(parts: dict[str, bytes]) -> bytes:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return file.getvalue()


PARTS = workbook_parts()
SHEET = "xl/worksheets/sheet1.xml"


def with_rows(rows: bytes) -> bytes:
    return packed({**PARTS, SHEET: PARTS[SHEET].replace(b"</sheetData>", rows + b"</sheetData>")})


@given(st.binary(max_size=300))
@settings(max_examples=200, deadline=None)
def test_any_bytes_are_read_or_refused(content: bytes) -> None:
    read_all(content)


@given(
    st.text(st.sampled_from("\",;\t\r\n'=ab\x00\x1b\u202e"), max_size=60),
    st.sampled_from(["utf-8", "utf-8-sig", "utf-16"]),
)
@settings(max_examples=200, deadline=None)
def test_any_rows_under_a_header_are_read_or_refused(text: str, encoding: str) -> None:
    read_all(f"pulled_at,maker,subject,value\n{text}".encode(encoding))


@given(st.data())
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_a_workbook_with_bytes_changed_anywhere_is_read_or_refused(data: st.DataObject) -> None:
    content = bytearray(packed(PARTS))
    for _ in range(data.draw(st.integers(1, 4))):
        content[data.draw(st.integers(4, len(content) - 1))] = data.draw(st.integers(0, 255))
    read_all(bytes(content))


@given(st.sampled_from(sorted(PARTS)), st.data())
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_a_workbook_with_a_part_changed_is_read_or_refused(name: str, data: st.DataObject) -> None:
    part = PARTS[name]
    start = data.draw(st.integers(0, len(part)))
    end = data.draw(st.integers(start, min(len(part), start + 40)))
    put = data.draw(st.sampled_from([b"", b"<", b'"', b"</row>", b"999999999", b"\xff", b"&x;", b"<c/>", b"-1"]))
    read_all(packed({**PARTS, name: part[:start] + put + part[end:]}))


@pytest.mark.parametrize("name", sorted(PARTS))
def test_a_workbook_without_a_part_is_read_or_refused(name: str) -> None:
    read_all(packed({other: content for other, content in PARTS.items() if other != name}))


@pytest.mark.parametrize(
    ("declaration", "encoding"),
    [
        (b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;">]>', "utf-8"),
        (b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>', "utf-8"),
        (b'<!DOCTYPE x [<!ENTITY a SYSTEM "file:///etc/passwd">]>', "utf-16"),
    ],
)
@pytest.mark.parametrize("name", [SHEET, "xl/workbook.xml", "xl/styles.xml", "_rels/.rels"])
def test_entities_are_refused(declaration: bytes, encoding: str, name: str) -> None:
    text = (declaration + PARTS[name].split(b"?>")[-1]).decode()
    reading = read_all(packed({**PARTS, name: text.encode(encoding)}))
    assert not reading.tables
    assert "entities" in reading.problems[0].what or "encoding" in reading.problems[0].what


def test_a_part_that_unpacks_into_far_too_much_is_refused_before_it_is() -> None:
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in PARTS.items():
            archive.writestr(name, content)
        archive.writestr("xl/media/image1.xml", b"0" * (8 * 1024 * 1024))
    reading = read_all(file.getvalue())
    assert reading.problems[0].what == "the workbook unpacks into far too much"
    assert MOST_UNPACKED_BYTES < 1024**3


def test_a_row_of_a_million_cells_is_refused() -> None:
    cells = b"".join(b'<c r="A%d"/>' % (number % 1000) for number in range(300_000))
    reading = read_all(with_rows(b'<row r="3">' + cells + b"</row>"))
    assert reading.problems[0].what == "a row of the workbook is far too long, or hidden"


@pytest.mark.parametrize("cell", [b"ab,", b'"a\n",'])
@pytest.mark.parametrize("header", [b"", b"spot,price\n"])
def test_a_row_of_millions_of_cells_is_refused_before_it_is_taken_apart(header: bytes, cell: bytes) -> None:
    content = header + cell * 1_000_000
    tracemalloc.start()
    try:
        reading = read_content("any.csv", content)
        _, peak = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert reading.problems[0].what.startswith("the row is longer than 2,097,152 characters")
    assert reading.problems[0].line == header.count(b"\n") + 1
    assert peak < 45 * 1024 * 1024


def test_a_sheet_cannot_hide_behind_another_name() -> None:
    cells = b'<c r="A1"/>' * 300_000
    sheet = PARTS[SHEET].replace(b"</sheetData>", b'<row r="3">' + cells + b"</row></sheetData>")
    parts = {
        name: part.replace(b"worksheets/sheet1.xml", b"media/a.png") for name, part in PARTS.items() if name != SHEET
    }
    reading = read_all(packed({**parts, "xl/media/a.png": sheet}))
    assert reading.problems[0].what == "a row of the workbook is far too long, or hidden"
    hidden = PARTS[SHEET].replace(b"</sheetData>", b'<row r="3"><!--<row -->' + b"</row></sheetData>")
    assert "hidden" in read_all(packed({**PARTS, SHEET: hidden})).problems[0].what


def test_a_column_far_out_is_refused_and_a_row_far_down_does_not_hold_up() -> None:
    reading = read_all(with_rows(b'<row r="3"><c r="GS3"><v>1</v></c></row>'))
    assert "more than 200 columns" in reading.problems[-1].what
    reading = read_all(with_rows(b'<row r="1000000"><c r="A1000000"><v>1</v></c></row>'))
    assert [line for line, _ in reading.tables[0].rows] == [2, 1_000_000]
    reading = read_all(with_rows(b'<row r="999999999999"><c r="A1"><v>1</v></c></row>'))
    assert len(reading.tables[0].rows) == 1


def test_a_workbook_that_links_elsewhere_or_calls_a_program_is_only_text() -> None:
    cell = b'<row r="3"><c r="A3" t="str"><f>cmd|\' /C calc\'!A0</f><v>=cmd|calc</v></c></row>'
    reading = read_all(with_rows(cell))
    assert reading.tables[0].rows[-1] == (3, ("=cmd|calc", ""))


def test_a_hundred_thousand_wrong_rows_give_a_list_that_ends() -> None:
    reading = read_content("any.csv", b"spot,break\n" + b"a,b,c\n" * 100_000)
    assert len(reading.problems) == 1_001
    assert "99000 more problems" in reading.problems[-1].what
    assert reading.problems[-1].severity is Severity.ERROR
