"""Refuse a workbook that would unpack into more than it says, or that asks for something outside itself."""

from __future__ import annotations

import io
import itertools
import re
import zipfile

from breakdesk.files.limits import (
    MOST_PARTS,
    MOST_ROW_BYTES,
    MOST_SHARED_TEXT_BYTES,
    MOST_TIMES_UNPACKED,
    MOST_UNPACKED_BYTES,
    SMALL_UNPACKED_BYTES,
)
from breakdesk.files.numbered_rows import CannotRead

_CHUNK = 1024 * 1024
_ENCODING = re.compile(rb"""<\?xml[^>]*encoding\s*=\s*["']([^"']*)""")
_ROW_BEGIN = re.compile(rb"[<:]row[\s>/]")
_SAVE_AGAIN = "Open it in a spreadsheet program and save the table as a new workbook (.xlsx), or as CSV UTF-8."


def check_workbook(content: bytes) -> None:
    """Raise CannotRead for a workbook that is damaged, hostile or too large; nothing is unpacked into memory whole.

    A formula or a link in it is never followed; what this keeps out is XML that declares entities, and archives that
    are small only while packed.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as archive:
            parts = archive.infolist()
            _check_sizes(parts)
            for part in parts:
                _check_part(archive, part)
    except CannotRead:
        raise
    # A damaged archive makes zipfile raise nearly anything: BadZipFile, zlib.error, EOFError, NotImplementedError, …
    except Exception:
        raise CannotRead("the workbook is damaged, or not a workbook", _SAVE_AGAIN) from None


def _check_sizes(parts: list[zipfile.ZipInfo]) -> None:
    unpacked = sum(part.file_size for part in parts)
    packed = sum(part.compress_size for part in parts)
    too_large = unpacked > MOST_UNPACKED_BYTES or len(parts) > MOST_PARTS
    suspicious = unpacked > SMALL_UNPACKED_BYTES and unpacked > packed * MOST_TIMES_UNPACKED
    shared_text = sum(part.file_size for part in parts if part.filename.casefold().endswith("sharedstrings.xml"))
    if too_large or suspicious or shared_text > MOST_SHARED_TEXT_BYTES:
        raise CannotRead("the workbook unpacks into far too much", "Split it, or save only this table as CSV UTF-8.")


def _check_part(archive: zipfile.ZipFile, part: zipfile.ZipInfo) -> None:
    """Refuse declarations of entities, encodings that would hide them, and rows of endless cells.

    What a part is shows in its content, since its name can say anything.
    """
    holds_rows = holds_hidden = False
    since_row = longest = 0
    tail = b""
    with archive.open(part) as stream:
        while chunk := stream.read(_CHUNK):
            window = tail + chunk
            if not tail:
                if not _is_xml(window):
                    return
                _check_encoding(window)
            if b"<!DOCTYPE" in window or b"<!ENTITY" in window:
                raise CannotRead("the workbook declares XML entities, which no table needs", _SAVE_AGAIN)
            holds_rows = holds_rows or b"sheetData" in window
            # Sheets written by programs hold neither comments nor CDATA, behind which a row could be hidden.
            holds_hidden = holds_hidden or b"<!" in window
            since_row, distance = _distances(window, since_row)
            longest = max(longest, distance)
            if holds_rows and (holds_hidden or longest > MOST_ROW_BYTES):
                raise CannotRead("a row of the workbook is far too long, or hidden", _SAVE_AGAIN)
            tail = chunk[-16:]


def _is_xml(start: bytes) -> bool:
    """Tell whether a reader of XML could take this: after any spaces comes a tag, in any encoding."""
    begin = start.removeprefix(b"\xef\xbb\xbf").lstrip()
    return not begin or begin.startswith((b"<", b"\0", b"\xff\xfe", b"\xfe\xff"))


def _check_encoding(start: bytes) -> None:
    declared = _ENCODING.search(start[:512])
    known = declared is None or declared[1].lower() in (b"utf-8", b"utf8", b"us-ascii", b"ascii")
    if not known or not start.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<") or b"\0" in start[:64]:
        raise CannotRead("the workbook is written in an unusual encoding", _SAVE_AGAIN)


def _distances(window: bytes, since_row: int) -> tuple[int, int]:
    """Return how many bytes follow the begin of the last row, and the most between two begins."""
    begins = [found.start() for found in _ROW_BEGIN.finditer(window)]
    edges = [-since_row, *begins, len(window)]
    return edges[-1] - edges[-2], max(after - before for before, after in itertools.pairwise(edges))
