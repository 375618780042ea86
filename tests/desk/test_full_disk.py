"""A disk that fills up under the command line and under the screen: a sentence, nothing half done, and work goes on."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from breakdesk.cli.running import run as run_command
from breakdesk.desk.checking import counted, verify
from breakdesk.desk.desk import open_desk
from breakdesk.store.claims import read_claims

from .test_obstacles import fill_up, filled, small_disk  # noqa: F401 - a fixture

if sys.platform == "win32":
    pytest.skip("needs a pseudo-terminal", allow_module_level=True)

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "bench"))

from kill_screen import Person
from kills import finds

pytestmark = pytest.mark.about_files

MOST = 400
WORDS = "words " * 150


@pytest.fixture
def desk_on_it(small_disk: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Path, str]:  # noqa: F811
    """A desk with the sample on a small disk, closed, and the tag of one of its claims."""
    monkeypatch.setenv("BREAKDESK_CONFIG", str(tmp_path / "settings.toml"))
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    desk = filled(small_disk / "desk.db")
    tag = next(iter(read_claims(desk.database))).tag
    desk.close()
    return small_disk / "desk.db", tag


def typed(path: Path, *arguments: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "breakdesk", "--desk", str(path), *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, check=False)


def state(path: Path) -> int:
    """How many actions the desk has; it must be whole."""
    desk = open_desk(path)
    assert list(verify(desk)) == []
    actions = counted(desk)[0]
    desk.close()
    return actions


def test_at_the_command_line(desk_on_it: tuple[Path, str]) -> None:
    path, tag = desk_on_it
    before, filler, done = state(path), fill_up(path.parent), 0
    # The same commands in this process, which start at once, until one fails; a program of its own fails then as well.
    while done < MOST and run_command(["--desk", str(path), "note", tag, WORDS]) == 0:
        done += 1
    ran = typed(path, "note", tag, WORDS)
    assert ran.returncode == 1
    assert "is full" in ran.stderr
    assert "Free some space" in ran.stderr
    assert "Traceback" not in ran.stderr
    backup = typed(path, "backup")
    assert backup.returncode == 1
    assert "is full" in backup.stderr
    exported = typed(path, "export", "desk", "--out", path.parent / "out")
    assert exported.returncode == 1
    assert "Traceback" not in exported.stderr
    filler.unlink()
    assert state(path) == before + done
    assert typed(path, "note", tag, "there is room again").returncode == 0
    assert state(path) == before + done + 1


def test_at_the_screen(desk_on_it: tuple[Path, str]) -> None:
    path, tag = desk_on_it
    before, person = state(path), Person(path)
    done = 0
    try:
        assert finds(person, tag), person.shown
        filler = fill_up(path.parent)
        while done < 20:
            person.press("n")
            assert person.sees("A note on this claim"), person.shown
            person.press(f"{'much to say ' * 90}{done}\r")
            assert person.sees(f"{done}", without="A note on this claim"), person.shown
            if "is full" in person.look(0.5):
                break
            done += 1
        assert "is full" in person.shown, person.shown
        assert "Traceback" not in person.shown
        filler.unlink()
        person.press("n")
        assert person.sees("A note on this claim"), person.shown
        person.press("there is room again\r")
        assert person.sees("there is room again", without="A note on this claim"), person.shown
    finally:
        person.kill()
    assert state(path) == before + done + 1
