"""Reading and writing CSV against RFC 4180, and formulas against the list of OWASP."""

from __future__ import annotations

import pytest

from breakdesk.files.tables import read_content
from breakdesk.files.writing import csv_text

HEADER = b"spot,break,order\r\n"


def _rows(content: bytes) -> list[tuple[int, tuple[str, ...]]]:
    reading = read_content("a.csv", content)
    assert not reading.problems
    return reading.tables[0].rows


@pytest.mark.outside(rule="a quoted field may hold a line break; the record goes on", source="RFC 4180, section 2.6")
def test_a_line_break_in_a_quoted_field() -> None:
    rows = _rows(HEADER + b'"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx')
    assert rows == [(2, ("aaa", "b\r\nbb", "ccc")), (4, ("zzz", "yyy", "xxx"))]


@pytest.mark.outside(rule="a quote within a quoted field is doubled", source="RFC 4180, section 2.7")
def test_a_doubled_quote() -> None:
    assert _rows(HEADER + b'"aaa","b""bb","ccc"') == [(2, ("aaa", 'b"bb', "ccc"))]


@pytest.mark.outside(rule="the last record may end with or without a line break", source="RFC 4180, section 2.2")
@pytest.mark.parametrize("end", [b"", b"\r\n"])
def test_the_last_line_break_is_optional(end: bytes) -> None:
    assert _rows(HEADER + b"aaa,bbb,ccc\r\nzzz,yyy,xxx" + end)[-1] == (3, ("zzz", "yyy", "xxx"))


@pytest.mark.outside(rule="spaces are part of a field", source="RFC 4180, section 2.4")
def test_spaces_are_kept() -> None:
    assert _rows(HEADER + b"aaa, bbb ,ccc") == [(2, ("aaa", " bbb ", "ccc"))]


@pytest.mark.outside(
    rule="a record is quoted only where it must be, and ends with CRLF",
    source="computed from RFC 4180, sections 2.1 and 2.5 to 2.7, agreed by Python's csv module",
)
def test_the_writer() -> None:
    record = ["aaa", 'b"bb', "c,c", "d\r\ne", " f ", ""]
    assert csv_text(["a", "b", "c", "d", "e", "f"], [record]) == ('a,b,c,d,e,f\r\naaa,"b""bb","c,c","d\r\ne", f ,\r\n')


@pytest.mark.outside(
    rule="a text that begins with = + - @ tab or CR gets a single quote before it",
    source="OWASP, CSV Injection",
)
@pytest.mark.parametrize("character", ["=", "+", "-", "@", "\t", "\r"])
def test_what_begins_a_formula(character: str) -> None:
    assert _neutralised(character)


@pytest.mark.outside(
    rule="a text that begins with LF gets a single quote before it",
    source="OWASP, CSV Injection, since pull request 1116 of www-community (1 August 2025)",
)
def test_a_line_feed_begins_a_formula_too() -> None:
    assert _neutralised("\n")


@pytest.mark.outside(
    rule="a text that begins with NUL does not begin with it when written",
    source="OWASP ASVS 5.0, requirement 1.2.10",
)
def test_nul_does_not_begin_a_cell() -> None:
    assert csv_text(["a"], [["\0=1+1"]]) == "a\r\n\\x00=1+1\r\n"


def _neutralised(character: str) -> bool:
    """Tell whether the quote is there, and gone again when our own reader reads the file."""
    text = character + "1+1"
    written = csv_text(["spot", "break"], [[text, "a"]])
    cell = written.split("\r\n", 1)[1].removeprefix('"')
    return cell.startswith("'" + text) and _rows(written.encode())[0][1] == (text, "a")
