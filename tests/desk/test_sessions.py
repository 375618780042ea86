"""A session at a real screen: its backups, a desk that turns out to be damaged, and a passphrase before it starts."""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

if sys.platform == "win32":
    pytest.skip("needs a pseudo-terminal", allow_module_level=True)

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "bench"))

from kill_screen import Person

from breakdesk.desk import locking
from breakdesk.desk.backups import back_up
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import open_desk
from breakdesk.desk.loading import load_files
from breakdesk.store import keys
from breakdesk.store.backups import Taken, backups_of, faults_of

pytestmark = pytest.mark.about_files
SAMPLE = Path(__file__).resolve().parents[2] / "sample_breaks"
PAGE = 4096


@pytest.fixture
def path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The sample desk, closed; nothing of this machine's own settings."""
    monkeypatch.setenv("BREAKDESK_CONFIG", str(tmp_path / "settings.toml"))
    desk = open_desk(tmp_path / "desk.db", create=True)
    assert load_files(desk, sorted(SAMPLE.glob("*.csv")) + sorted(SAMPLE.glob("*.xlsx"))).saved
    desk.close()
    return tmp_path / "desk.db"


@pytest.fixture
def sit_down(path: Path) -> Iterator[Any]:
    """Opens the screen."""
    people: list[Person] = []

    def start() -> Person:
        people.append(Person(path))
        return people[-1]

    yield start
    for person in people:
        person.kill()


def test_a_session_leaves_proved_backups_at_its_start_and_its_end(path: Path, sit_down: Any) -> None:
    person = sit_down()
    assert person.sees("F1 Help")
    end = time.monotonic() + 20
    while not backups_of(path) and time.monotonic() < end:
        person.look(0.1)
    assert len(backups_of(path)) == 1
    first = backups_of(path)[0]
    assert list(faults_of(first.path)) == []
    person.look(1.1)
    person.press("\x1b[21~")
    while person.process.poll() is None and time.monotonic() < end:
        person.look(0.1)
    assert person.process.poll() == 0
    newest = backups_of(path)[0]
    assert newest.made_at > first.made_at
    assert list(faults_of(newest.path, whole_history=True)) == []


def test_a_damaged_desk_is_named_on_the_screen_with_the_way_back(path: Path, sit_down: Any) -> None:
    good = back_up(path, Clock())
    assert isinstance(good, Taken)
    content = bytearray(path.read_bytes())
    content[-3 * PAGE : -3 * PAGE + 200] = b"\xff" * 200
    path.write_bytes(bytes(content))
    person = sit_down()
    assert person.sees("is damaged"), person.shown
    assert person.sees("breakdesk restore"), person.shown
    assert backups_of(path)[0].path == good.path


def test_a_passphrase_is_asked_for_before_the_screen_and_not_shown(path: Path, sit_down: Any) -> None:
    desk = open_desk(path)
    locking.add_passphrase(desk, "seven slow otters")
    locking.remove_way(desk, keys.KEY_FILE)
    desk.close()
    person = sit_down()
    assert person.sees("Passphrase or recovery key")
    person.press("seven slow herons\r")
    assert person.sees("not the passphrase of this desk")
    # What is typed before the question stands there again is dropped by the terminal.
    for _ in range(100):
        if person.shown.count("Passphrase or recovery key") > 1:
            break
        assert not person.sees("F1 Help", seconds=0.1)
    person.press("seven slow otters\r")
    assert person.sees("F1 Help")
    assert "otters" not in person.shown
