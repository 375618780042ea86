"""Rows of a CSV file (RFC 4180), whatever its separator and its Unicode encoding."""

from __future__ import annotations

import codecs
import csv
import io
import re
from collections.abc import Iterator
from typing import TextIO

from breakdesk.files.limits import MOST_COLUMNS, MOST_ROW_BYTES
from breakdesk.files.numbered_rows import CannotRead, NumberedRow, Sheet
from breakdesk.files.plain_text import with_formula_start

SEPARATORS = (",", ";", "\t")
_QUOTED = re.compile(r'"(?:[^"]|"")*"')
_HINT = re.compile(r"sep=([,;\t])\s*", re.IGNORECASE)
_LINES_LOOKED_AT = 20
# What `without_formula` can have written somewhere in the file; without it no cell needs to be looked at.
_PERHAPS_QUOTED = re.compile(rb"'[=+\-@\t\r\n]")
_NOT_TEXT = "the file is not text in UTF-8"
_SAVE_AS_UTF8 = 'Save it again as "CSV UTF-8", or as an Excel workbook (.xlsx).'


def read_csv(content: bytes) -> Sheet:
    """Return the rows of a CSV file; raises CannotRead for what is no text at all."""
    encoding = _encoding(content)
    head = _checked_head(content, encoding)
    separator, has_hint = _separator(head)
    return Sheet("", _rows(content, encoding, separator, has_hint))


def _encoding(content: bytes) -> str:
    if content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    return "utf-8-sig"


def _checked_head(content: bytes, encoding: str) -> list[str]:
    """Return the first lines, having made sure that the whole content is text."""
    try:
        text = content.decode(encoding)
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1 if encoding == "utf-8-sig" else None
        raise CannotRead(_NOT_TEXT, _SAVE_AS_UTF8, line) from None
    nul = text.find("\0")
    if nul >= 0:
        what = "the file holds a NUL character, which no table does"
        raise CannotRead(what, _SAVE_AS_UTF8, text.count("\n", 0, nul) + 1)
    start = io.StringIO(text[: _LINES_LOOKED_AT * 4096], newline="")
    return [line for line, _ in zip(start, range(_LINES_LOOKED_AT), strict=False)]


def _separator(head: list[str]) -> tuple[str, bool]:
    """Return the separator of the first line that has one outside quotes, and whether a first line `sep=;` says it."""
    if head and (hint := _HINT.fullmatch(head[0])):
        return hint[1], True
    for line in head:
        unquoted = _QUOTED.sub("", line)
        counts = {separator: unquoted.count(separator) for separator in SEPARATORS}
        if any(counts.values()):
            return max(SEPARATORS, key=lambda separator: counts[separator]), False
    return ",", False


def _rows(content: bytes, encoding: str, separator: str, has_hint: bool) -> Iterator[NumberedRow]:
    perhaps_quoted = encoding != "utf-8-sig" or _PERHAPS_QUOTED.search(content) is not None
    stream = io.TextIOWrapper(io.BytesIO(content), encoding=encoding, newline="")
    lines = _Lines(stream)
    reader = csv.reader(lines, delimiter=separator, strict=True)
    line = 1
    try:
        for record in reader:
            lines.begin_row(reader.line_num + 1)
            if len(record) > MOST_COLUMNS and any(record[MOST_COLUMNS:]):
                raise CannotRead(f"the row has more than {MOST_COLUMNS} columns", "Delete what is not needed.", line)
            if perhaps_quoted:
                record = [with_formula_start(cell) for cell in record]
            if not has_hint or line > 1:
                yield line, record
            line = reader.line_num + 1
    except csv.Error as error:
        raise CannotRead(*_wording(str(error)), line) from None


class _Lines:
    """The lines of a file, as long as no row takes endless cells: a row is taken apart as a whole."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self.begin_row(1)

    def begin_row(self, line: int) -> None:
        """The row before has ended; the next one begins on this line."""
        self._begins, self._room = line, MOST_ROW_BYTES

    def __iter__(self) -> Iterator[str]:
        while text := self._stream.readline(self._room + 1):
            self._room -= len(text)
            if self._room < 0:
                what = f"the row is longer than {MOST_ROW_BYTES:,} characters, or a quote in it never closes"
                raise CannotRead(what, "Shorten its cells, or close the quote.", self._begins)
            yield text


def _wording(error: str) -> tuple[str, str]:
    if "unexpected end" in error:
        return "a quote opens in this row and never closes", 'Close it, or double a quote that belongs to the text: "".'
    if "field limit" in error:
        what = f"a cell is longer than {csv.field_size_limit():,} characters, or a quote in this row never closes"
        return what, "Shorten the cell, or close the quote."
    return "a quote in this row is followed by more text", 'Double a quote that belongs to the text: "".'
