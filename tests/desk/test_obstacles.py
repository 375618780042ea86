"""A full disk, a read-only place, a file in use, a failing disk: a sentence, nothing half done, and work goes on."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk import backups, following, places
from breakdesk.desk.checking import counted, verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.loading import load_files
from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.store import engine
from breakdesk.store.engine import run
from breakdesk.store.opening import CannotOpen

World = Any
SAMPLE = Path(__file__).resolve().parents[2] / "sample_breaks"
HOLDER = """
import sqlite3, sys
connection = sqlite3.connect(sys.argv[1], isolation_level=None)
if "alone" in sys.argv:
    connection.execute("PRAGMA locking_mode = EXCLUSIVE")
connection.execute("BEGIN EXCLUSIVE")
print("held", flush=True)
sys.stdin.read()
"""
WRITER = """
import sys
from pathlib import Path
from breakdesk.desk.desk import open_desk
from breakdesk.desk.following import note
from breakdesk.desk.problems import Done
desk = open_desk(Path(sys.argv[1]), who=sys.argv[3])
for number in range(int(sys.argv[4])):
    done = note(desk, sys.argv[2], f"{sys.argv[3]} {number}")
    assert isinstance(done, Done), done
    print(done.number, flush=True)
desk.close()
"""


pytestmark = pytest.mark.about_files


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A real file system of a few megabytes, in memory; skipped where this account may not mount one."""
    folder = tmp_path / "small"
    folder.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", "size=4m", "tmpfs", str(folder)]
    if not sys.platform.startswith("linux") or subprocess.run(command, capture_output=True, check=False).returncode:
        pytest.skip("this account may not mount a small file system")
    yield folder
    subprocess.run(["umount", "-l", str(folder)], check=False)


def fill_up(folder: Path) -> Path:
    """Writes a file until the disk is full."""
    path = folder / "filler"
    with path.open("wb", buffering=0) as file:
        try:
            while True:
                file.write(b"\0" * 4096)
        except OSError:
            pass
    return path


def filled(path: Path, clock: Clock | None = None) -> Desk:
    """A desk with the sample's claims."""
    desk = open_desk(path, clock, create=True, who="T")
    report = load_files(desk, sorted(SAMPLE.glob("*.csv")) + sorted(SAMPLE.glob("*.xlsx")))
    assert report.saved, report.problems
    return desk


def a_tag(desk: Desk) -> str:
    """The tag of some claim."""
    return str(run(desk.database, "SELECT tag FROM claim ORDER BY id LIMIT 1").fetchone()[0])


def until_refused(act: Callable[[], Result], most: int = 3000) -> tuple[int, Problem]:
    """Does something again and again until it is refused; returns how often it was done."""
    for count in range(most):
        result = act()
        if isinstance(result, Problem):
            return count, result
    raise AssertionError("it was never refused")


def test_on_a_full_disk_nothing_is_lost_and_nothing_half_done(small_disk: Path) -> None:
    desk = filled(small_disk / "desk.db")
    tag, (before, _) = a_tag(desk), counted(desk)
    filler = fill_up(small_disk)
    done, problem = until_refused(lambda: following.note(desk, tag, "a note " * 50))
    assert "is full" in problem.what
    assert "Nothing was saved" in problem.what
    assert problem.remedy.startswith("Free some space")
    assert counted(desk)[0] == before + done
    assert list(verify(desk)) == []
    backup = backups.back_up(desk.path, desk.clock)
    assert isinstance(backup, Problem)
    assert "is full" in backup.what
    assert list((small_disk / "desk files" / "backups").iterdir()) == []
    filler.unlink()
    assert isinstance(following.note(desk, tag, "there is room again"), Done)
    desk.close()
    again = open_desk(small_disk / "desk.db")
    assert counted(again)[0] == before + done + 1
    assert list(verify(again)) == []
    again.close()


def test_a_load_on_a_full_disk_saves_nothing(small_disk: Path) -> None:
    desk = open_desk(small_disk / "desk.db", create=True)
    fill_up(small_disk)
    report = load_files(desk, sorted(SAMPLE.glob("*.csv")) + sorted(SAMPLE.glob("*.xlsx")))
    assert not report.saved
    assert any("is full" in problem.what for problem in report.errors)
    assert counted(desk) == (0, 0)
    assert list(verify(desk)) == []
    desk.close()


def test_a_desk_in_a_read_only_place_is_refused_in_a_sentence(small_disk: Path) -> None:
    filled(small_disk / "desk.db").close()
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    with pytest.raises(CannotOpen) as refused:
        open_desk(small_disk / "desk.db")
    assert "cannot be written" in refused.value.what
    with pytest.raises(CannotOpen):
        open_desk(small_disk / "other" / "desk.db", create=True)


@pytest.mark.parametrize("pages", range(2, 40, 4))
def test_wherever_the_room_ends_an_action_is_whole_or_not_there(new_world: Callable[[], World], pages: int) -> None:
    world = new_world()
    tags = [world.pull() for _ in range(3)]
    now = run(world.desk.database, "PRAGMA page_count").fetchone()[0]
    run(world.desk.database, f"PRAGMA max_page_count = {now + pages}")
    before = counted(world.desk)[0]
    done, problem = until_refused(lambda: following.note(world.desk, tags[0], "words " * 200))
    assert "is full" in problem.what
    assert counted(world.desk)[0] == before + done
    assert list(verify(world.desk)) == []
    run(world.desk.database, "PRAGMA max_page_count = 1000000")
    assert isinstance(following.note(world.desk, tags[0], "room again"), Done)
    assert list(verify(world.desk)) == []


@contextmanager
def held(path: Path, *how: str) -> Iterator[None]:
    """Another program that writes to a file, or has it for itself alone."""
    holder = subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path), *how], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert holder.stdin is not None
    assert holder.stdout is not None
    with holder:
        assert holder.stdout.readline() == "held\n"
        yield
        holder.stdin.close()


def test_a_file_to_which_another_program_writes(world: World) -> None:
    tag = world.pull()
    run(world.desk.database, "PRAGMA busy_timeout = 200")
    with held(world.desk.path):
        problem = following.note(world.desk, tag, "in the way")
        assert isinstance(problem, Problem)
        assert "in use by another program" in problem.what
        assert isinstance(places.remember(world.desk, "somewhere", "here"), Problem)
        # Looking goes on beside it.
        world.desk.close()
        world.desk = open_desk(world.desk.path, world.desk.clock)
    assert isinstance(following.note(world.desk, tag, "free again"), Done)


def test_a_file_that_another_program_has_for_itself(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    tag = world.pull()
    world.desk.close()
    monkeypatch.setattr(engine, "BUSY_TIMEOUT_SECONDS", 0.2)
    with held(world.desk.path, "alone"), pytest.raises(CannotOpen, match="in use by another program"):
        open_desk(world.desk.path)
    world.desk = open_desk(world.desk.path, world.desk.clock)
    assert isinstance(following.note(world.desk, tag, "free again"), Done)


def test_two_programs_work_on_one_file(world: World) -> None:
    tag = world.pull()
    before = counted(world.desk)[0]
    arguments = [sys.executable, "-c", WRITER, str(world.desk.path), tag]
    writers = [
        subprocess.Popen([*arguments, who, "25"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        for who in ("A", "B")
    ]
    said = [writer.communicate(timeout=60) for writer in writers]
    assert [writer.returncode for writer in writers] == [0, 0], said
    numbers = sorted(int(number) for out, _ in said for number in out.split())
    assert numbers == list(range(before + 1, before + 51))
    assert counted(world.desk)[0] == before + 50


def test_a_new_desk_and_its_folder_are_for_their_owner_only(tmp_path: Path) -> None:
    if sys.platform == "win32":
        pytest.skip("Windows keeps rights elsewhere")
    old = os.umask(0)
    try:
        open_desk(tmp_path / "new" / "deep" / "desk.db", create=True).close()
    finally:
        os.umask(old)
    found = {path.name: stat.S_IMODE(path.stat().st_mode) for path in (tmp_path / "new").rglob("*")}
    assert found.pop("deep") == 0o700
    assert set(found.values()) == {0o600}
    assert stat.S_IMODE((tmp_path / "new").stat().st_mode) == 0o700


def test_a_write_ahead_log_that_was_cut_off_anywhere_leaves_a_whole_desk(world: World, tmp_path: Path) -> None:
    tag = world.pull()
    for number in range(6):
        world.done(following.note(world.desk, tag, f"note {number}"))
    path = world.desk.path
    log = path.with_name(path.name + "-wal")
    content, known = log.read_bytes(), counted(world.desk)[0]
    copies = [(tmp_path / f"cut {cut}.db", cut) for cut in [*range(0, len(content), len(content) // 15), len(content)]]
    for copy, cut in copies:
        copy.write_bytes(path.read_bytes())
        copy.with_name(copy.name + "-wal").write_bytes(content[:cut])
    world.desk.close()
    counts = []
    for copy, cut in copies:
        if not holds_a_desk(copy):
            assert cut < len(content)
            continue
        desk = open_desk(copy)
        assert list(verify(desk)) == []
        counts.append(counted(desk)[0])
        desk.close()
    assert counts == sorted(counts)
    assert counts[-1] == known
    assert len(set(counts)) > 3
    world.desk = open_desk(path, world.desk.clock)


def holds_a_desk(path: Path) -> bool:
    """Whether a file holds a desk yet: a new one whose log was cut off at its start does not."""
    import sqlite3

    connection = sqlite3.connect(path)
    found = connection.execute("SELECT count(*) FROM sqlite_master WHERE name = 'claim'").fetchone()[0]
    connection.close()
    return bool(found)
