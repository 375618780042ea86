"""The program as the shell starts it: start, pipes, an empty home, and the throwaway desk."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from breakdesk.desk import sample
from breakdesk.desk.checking import verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import open_desk
from breakdesk.desk.viewing import today
from breakdesk.files.rows import parse_rows
from breakdesk.files.tables import read_tables

STARTED = [sys.executable, "-m", "breakdesk"]


def bare(tmp_path: Path, **more: str) -> dict[str, str]:
    """An environment with an empty home and nothing of the person who runs the tests."""
    home = tmp_path / "home"
    home.mkdir(exist_ok=True)
    kept = {name: value for name, value in os.environ.items() if name in ("PATH", "SYSTEMROOT", "TEMP", "PYTHONPATH")}
    return {**kept, "HOME": str(home), "USERPROFILE": str(home), "LOCALAPPDATA": str(home), "PYTHONUTF8": "1", **more}


def program(tmp_path: Path, *arguments: str, **more: str) -> subprocess.CompletedProcess[str]:
    """Runs the program from an unrelated folder."""
    return subprocess.run(
        [*STARTED, *arguments],
        cwd=tmp_path,
        env=bare(tmp_path, **more),
        capture_output=True,
        encoding="utf-8",
        stdin=subprocess.DEVNULL,
        timeout=60,
        check=False,
    )


def test_version_and_help(tmp_path: Path) -> None:
    version = program(tmp_path, "--version")
    assert re.fullmatch(r"breakdesk \d+\.\d+\.\d+\n", version.stdout)
    ran = program(tmp_path, "--help")
    assert ran.returncode == 0
    for command in ("load", "pull", "today", "owed", "try", "in-hand"):
        assert re.search(rf"^  {command} +\S", ran.stdout, re.MULTILINE)


@pytest.mark.parametrize("arguments", [["--version"], ["--help"]])
def test_start_loads_neither_store_nor_screen(tmp_path: Path, arguments: list[str]) -> None:
    loaded = _loaded(tmp_path, arguments)
    assert not {"peewee", "textual", "pendulum", "holidays", "cryptography", "jinja2"} & loaded


def test_reading_loads_no_screen(tmp_path: Path) -> None:
    desk = tmp_path / "desk.db"
    open_desk(desk, create=True).close()
    loaded = _loaded(tmp_path, ["--desk", str(desk), "today"])
    assert "peewee" in loaded
    assert not {"textual", "holidays", "openpyxl", "jinja2", "cryptography"} & loaded


def _loaded(tmp_path: Path, arguments: list[str]) -> set[str]:
    script = (
        "import sys; from breakdesk.cli.running import run; code = run(sys.argv[1:]); "
        "print('LOADED', *{name.split('.')[0] for name in sys.modules if sys.modules[name]}); sys.exit(code)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script, *arguments],
        cwd=tmp_path,
        env=bare(tmp_path),
        capture_output=True,
        encoding="utf-8",
        check=True,
    )
    return set(ran.stdout.rpartition("LOADED ")[2].split())


def test_no_terminal_is_a_sentence(tmp_path: Path) -> None:
    ran = program(tmp_path)
    assert (ran.returncode, ran.stdout) == (1, "")
    assert ran.stderr.startswith("The screen needs a terminal.")


@pytest.mark.skipif(os.name == "nt", reason="pipes end differently there")
def test_broken_pipe_is_quiet(tmp_path: Path) -> None:
    with subprocess.Popen(
        [*STARTED, "try", "--print"],
        cwd=tmp_path,
        env=bare(tmp_path),
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    ) as ran:
        assert ran.stdout is not None
        assert ran.stderr is not None
        ran.stdout.read(10)
        ran.stdout.close()
        said = ran.stderr.read()
        ran.wait(60)
    assert (said, ran.returncode) == (b"", 0)


def test_try_prints_and_leaves_nothing(tmp_path: Path) -> None:
    temporary = tmp_path / "temporary"
    temporary.mkdir()
    ran = program(tmp_path, "try", TMPDIR=str(temporary), TEMP=str(temporary), HOME="")
    assert (ran.returncode, ran.stderr) == (0, "")
    for heading in ("SUBMIT: ", "ASK: ", "TELL: ", "SHIP: ", "DECIDE: ", "OWED: "):
        assert re.search(f"^{heading}", ran.stdout, re.MULTILINE)
    assert "\x1b" not in ran.stdout
    assert list(temporary.iterdir()) == []
    assert list((tmp_path / "home").rglob("*")) == []
    assert sorted(path.name for path in tmp_path.iterdir()) == ["home", "temporary"]


def test_try_on_a_day_is_true_on_that_day(tmp_path: Path) -> None:
    ran = program(tmp_path, "try", "--print", "--on", "2027-02-28T09:00")
    assert ran.stdout.startswith("Juniper Kettle Breaks, Sun 28 Feb 2027 09:00 (America/Denver)\n")


@pytest.mark.parametrize("days", [0, 9, 167, 420, 1003])
def test_sample_desk_has_every_state_on_any_date(tmp_path: Path, days: int) -> None:
    now = datetime(2026, 3, 1, 18, tzinfo=UTC) + timedelta(days=days, hours=days % 24)
    desk = open_desk(tmp_path / "sample.db", Clock(tell=lambda: now), create=True)
    try:
        report = sample.fill(desk)
        assert (report.errors, report.saved) == ((), True)
        assert sample.add_stories(desk) == []
        assert list(verify(desk)) == []
        lists = today(desk).today
        whys = {item.why for item in lists.decide}
        states = {row[0] for row in desk.database.execute_sql("SELECT DISTINCT state FROM claim")}
    finally:
        desk.close()
    assert states == {"pulled", "submitted", "offered", "in_hand", "shipped", "closed", "refused", "void"}
    assert whys == {
        "refused", "expired_at_pull", "offer", "owner", "failed_submission", "lost", "not_answering", "follow_up",
    }  # fmt: skip
    assert min(map(len, (lists.submit, lists.ask, lists.tell, lists.ship))) >= 3


def test_sample_zone_is_the_houses(tmp_path: Path) -> None:
    files = sample.sample_files()
    assert len(files) > 30
    (table,) = read_tables(next(path for path in files if path.name == "house.csv")).tables
    (row,), _ = parse_rows(table, "UTC", "USD", sample.ANCHOR)
    assert row.zone == sample.ZONE  # type: ignore[union-attr]
