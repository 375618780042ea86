"""Small tables by our names for their columns."""

from __future__ import annotations

from pathlib import Path

import pytest

from breakdesk.files.named_rows import read_named_rows
from breakdesk.files.writing import SheetToWrite, write_xlsx

COLUMNS = {"parcel": ("order number",), "tracking": ("tracking code",)}


def test_headings_in_any_order_and_spelling_and_empty_rows(tmp_path: Path) -> None:
    found = read_named_rows(tmp_path / "none.csv", COLUMNS, [])
    assert found.problem.startswith("none.csv cannot be read.")
    path = tmp_path / "a.csv"
    path.write_text("\nTRACKING-Code;extra;Order_Number\n;;\n A1 ;x;7\n", encoding="utf-8")
    found = read_named_rows(path, COLUMNS, ["parcel", "tracking"])
    assert found.problem == ""
    assert found.unknown == ("extra",)
    assert [(row.line, row.get("parcel"), row.get("tracking"), row.get("cost")) for row in found.rows] == [
        (4, "7", "A1", "")
    ]


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "is empty"),
        (b"parcel\n1\n", "no column tracking"),
        (b"parcel,order number,tracking\n1,2,3\n", "two columns both mean parcel"),
        (b'parcel,tracking\n"1,2\n', "quote opens"),
        (b"\xff\xfe\xff", "a.csv"),
    ],
)
def test_what_cannot_be_read_says_so(tmp_path: Path, content: bytes, said: str) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(content)
    found = read_named_rows(path, COLUMNS, ["parcel", "tracking"])
    assert said in found.problem
    assert found.rows == ()


def test_a_workbook(tmp_path: Path) -> None:
    path = tmp_path / "a.xlsx"
    write_xlsx(path, [SheetToWrite("Parcels", ("parcel", "tracking"), [(7, "A1")])])
    assert [row.get("parcel") for row in read_named_rows(path, COLUMNS, ["parcel", "tracking"]).rows] == ["7"]
