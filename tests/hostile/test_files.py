"""What is loaded: any bytes under any name, in workbooks and tables, through the command line."""

from __future__ import annotations

import io
import os
from pathlib import Path

import pytest
from hostile_help import HOSTILE, LONGER, NASTY, Attack, files_in
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import Workbook
from openpyxl.utils.exceptions import IllegalCharacterError

SETTINGS = settings(
    max_examples=40 * LONGER,
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)
HEADERS = (
    "house,zone,currency,country",
    "maker,zone,ask_after_months,closed_days",
    "participant,handle,on_air_name,email,address,country",
    "product,card,player,team,variation,numbered_to",
    "break,night,format,spot,participant,price",
    "tag,maker,product,subject,pulled_at,owner,state,code,reference,value,note",
)
CELL = st.one_of(HOSTILE, st.sampled_from(["2026-01-02", "1/2/26", "12.50", "-1", "yes", "", "TBD"]))


def as_csv(header: str, cells: list[str]) -> bytes:
    rows = [header]
    width = header.count(",") + 1
    for start in range(0, len(cells), width):
        quoted = ('"' + cell.replace('"', '""') + '"' for cell in cells[start : start + width])
        rows.append(",".join(quoted))
    return "\r\n".join(rows).encode("utf-8", "surrogatepass")


@SETTINGS
@given(header=st.sampled_from(HEADERS), cells=st.lists(CELL, max_size=22))
def test_any_cells_under_any_header(
    attack: Attack, tmp_path_factory: pytest.TempPathFactory, header: str, cells: list[str]
) -> None:
    path = tmp_path_factory.mktemp("in") / "any.csv"
    path.write_bytes(as_csv(header, cells))
    attack.type("load", "--check", str(path))
    attack.type("load", str(path))


@SETTINGS
@given(content=st.binary(max_size=400), ending=st.sampled_from(["csv", "xlsx", "txt", ""]))
def test_any_bytes(attack: Attack, tmp_path_factory: pytest.TempPathFactory, content: bytes, ending: str) -> None:
    path = tmp_path_factory.mktemp("in") / f"any.{ending}".rstrip(".")
    path.write_bytes(content)
    attack.type("load", "--check", str(path))


@SETTINGS
@given(cells=st.lists(CELL, min_size=1, max_size=11), header=st.sampled_from(HEADERS))
def test_any_cells_in_a_workbook(
    attack: Attack, tmp_path_factory: pytest.TempPathFactory, cells: list[str], header: str
) -> None:
    book = Workbook()
    sheet = book.worksheets[0]
    sheet.append(header.split(","))
    try:
        sheet.append(cells)
        file = io.BytesIO()
        book.save(file)
    except (IllegalCharacterError, UnicodeError, ValueError):
        return  # a workbook cannot hold them at all
    path = tmp_path_factory.mktemp("in") / "any.xlsx"
    path.write_bytes(file.getvalue())
    attack.type("load", "--check", str(path))


@SETTINGS
@given(name=HOSTILE)
def test_any_file_name(attack: Attack, tmp_path_factory: pytest.TempPathFactory, name: str) -> None:
    folder = tmp_path_factory.mktemp("in")
    path = folder / (name.replace("/", "_").replace("\0", "_")[:60] or "_")
    try:
        path.write_text("spot,participant\nOtters,Nobody Known\n", encoding="utf-8")
    except (OSError, ValueError):
        return  # no file can be called that
    before = files_in(folder)
    attack.type("load", "--check", str(path))
    attack.type("load", "--check", str(path.with_name(path.name[:50] + " gone")))
    assert files_in(folder) == before


@pytest.mark.parametrize("name", NASTY)
def test_names_of_people_lead_nowhere_when_messages_are_written(attack: Attack, tmp_path: Path, name: str) -> None:
    folder = tmp_path / "in"
    folder.mkdir()
    (folder / "people.csv").write_bytes(as_csv("participant,handle,on_air_name,email,address,country", [name, name]))
    attack.type("load", str(folder / "people.csv"))
    out = tmp_path / "out"
    attack.type("tell", "--all", "--out", str(out), seconds=20)
    attack.type("export", "owed", "--out", str(out), seconds=20)
    outside = {path for path in files_in(tmp_path) if not path.startswith(("out", "in"))}
    assert outside == set()
    assert not any(os.sep in path.name or "\x1b" in path.name for path in tmp_path.rglob("*"))
