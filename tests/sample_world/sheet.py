"""The one spots file that comes as a spreadsheet, with real date and number cells as an operator's export has them."""

from __future__ import annotations

import datetime
import io
import re
import zipfile
from pathlib import Path

from openpyxl import Workbook

_STAMP = "2026-06-15T00:00:00Z"


def write(path: Path, rows: list[dict[str, object]]) -> None:
    """Write the rows as the only sheet, byte for byte the same every time."""
    book = Workbook()
    page = book.active
    assert page is not None
    page.title = "spots"
    page.append(list(rows[0]))
    for row in rows:
        page.append([_cell(name, str(value)) for name, value in row.items()])
    stream = io.BytesIO()
    book.save(stream)
    path.write_bytes(_without_clock(stream.getvalue()))


def _cell(name: str, text: str) -> object:
    if not text:
        return None
    if name == "starts_at":
        return datetime.datetime.fromisoformat(text)
    return float(text) if name == "price_paid" else text


def _without_clock(data: bytes) -> bytes:
    # The library stamps the moment of saving into the file and into its archive.
    stream = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new:
        for name in old.namelist():
            content = old.read(name)
            if name == "docProps/core.xml":
                content = re.sub(rb"\d{4}-\d\d-\d\dT[\d:]+Z", _STAMP.encode(), content)
            new.writestr(zipfile.ZipInfo(name, date_time=(2026, 6, 15, 0, 0, 0)), content, zipfile.ZIP_DEFLATED)
    return stream.getvalue()
