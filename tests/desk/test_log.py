"""The log says what happened in words of ours, is for its owner, is rotated, and is never in the way."""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk import backups
from breakdesk.desk.log import KEPT, NAME, Entry, begin_log, end_log, log

pytestmark = pytest.mark.about_files
World = Any
LINE = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ \d+ Breakdesk [\w.+-]+: [a-z ;]+(, [a-z ]+ \d+)*")


@pytest.fixture(autouse=True)
def _ended() -> Iterator[None]:
    yield
    end_log()


def test_what_happened_is_said_in_words_and_numbers_alone(world: World, tmp_path: Path) -> None:
    log(Entry.OPENED)
    begin_log(tmp_path / "log")
    log(Entry.OPENED)
    world.pull()
    backups.back_up(world.desk.path, world.desk.clock)
    log(Entry.FAILED)
    lines = (tmp_path / "log" / NAME).read_text().splitlines()
    assert len(lines) == 3
    assert all(LINE.fullmatch(line) for line in lines), lines
    assert re.search(r"a backup was made, bytes \d+$", lines[1])
    with pytest.raises(ValueError, match="invalid literal"):
        log(Entry.OPENED, who="Ada Fenn")  # type: ignore[arg-type]


def test_it_is_rotated_and_for_its_owner_only(tmp_path: Path) -> None:
    begin_log(tmp_path / "log", largest=2000)
    for number in range(300):
        log(Entry.BACKED_UP, bytes=number)
    written = sorted((tmp_path / "log").iterdir())
    assert len(written) == KEPT + 1
    assert all(path.stat().st_size <= 2000 for path in written)
    assert "bytes 299" in (tmp_path / "log" / NAME).read_text()
    if sys.platform != "win32":
        assert {path.stat().st_mode & 0o077 for path in (tmp_path / "log", *written)} == {0}


def test_where_it_cannot_be_written_work_goes_on(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "file").write_text("")
    begin_log(tmp_path / "file")
    log(Entry.OPENED)
    begin_log(tmp_path / "log")
    log(Entry.OPENED)
    (tmp_path / "log" / NAME).unlink()
    (tmp_path / "log").rename(tmp_path / "moved")
    log(Entry.LEFT)
    assert capsys.readouterr() == ("", "")
