"""Backups: taken in use, proved, rotated, restored into a new file; a damaged desk is named with the way back."""

from __future__ import annotations

import stat
import sys
import threading
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk import backups
from breakdesk.desk.checking import verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import open_desk
from breakdesk.desk.problems import Problem
from breakdesk.store.backup_files import STORE
from breakdesk.store.backups import Taken, backups_folder, backups_of, faults_of, newest_sound, take
from breakdesk.store.engine import run
from breakdesk.store.opening import CannotOpen

pytestmark = pytest.mark.about_files
World = Any


def made(world: World, *, hours: float = 0) -> Path:
    world.later(hours=hours)
    taken = backups.back_up(world.desk.path, world.desk.clock)
    assert isinstance(taken, Taken), taken
    assert taken.notes == ()
    return taken.path


def test_a_backup_is_the_desk_as_it_is_and_only_its_owners(world: World) -> None:
    tag = world.pull()
    path = made(world)
    assert list(faults_of(path, whole_history=True)) == []
    world.pull()
    world.desk.close()
    copy = open_desk(path.rename(path.with_name("copy.db")), world.desk.clock)
    assert list(verify(copy)) == []
    assert [row[0] for row in run(copy.database, "SELECT tag FROM claim")] == [tag]
    copy.close()
    world.desk = open_desk(world.desk.path, world.desk.clock)
    if sys.platform != "win32":
        assert stat.S_IMODE(path.with_name("copy.db").stat().st_mode) == 0o600
        assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700


def test_backups_of_a_week_are_thinned_out(world: World) -> None:
    for _ in range(24 * 3):
        made(world, hours=1)
    left = [backup.made_at for backup in backups_of(world.desk.path)]
    assert 25 <= len(left) <= 29
    assert left[0] == world.now.replace(microsecond=0)


def test_a_restored_desk_is_new_whole_and_the_old_one_stays(world: World, tmp_path: Path) -> None:
    world.pull()
    path, before = made(world), world.desk.path.read_bytes()
    new = tmp_path / "new" / "desk.db"
    restored = backups.restore(path, new, world.desk.path)
    assert isinstance(restored, backups.Restored)
    assert world.desk.path.read_bytes() == before
    assert path.is_file()
    assert list(faults_of(new, whole_history=True)) == []
    again = backups.restore(path, new, world.desk.path)
    assert isinstance(again, Problem)
    assert "exists already" in again.what
    missing = backups.restore(path.with_name("none"), tmp_path / "other.db", world.desk.path)
    assert isinstance(missing, Problem)


def test_a_backup_that_was_changed_is_refused_and_an_older_one_named(world: World, tmp_path: Path) -> None:
    world.pull()
    older, newer = made(world), made(world, hours=2)
    content = newer.read_bytes()
    newer.write_bytes(content[: len(content) // 2])
    assert any(faults_of(newer))
    assert newest_sound(world.desk.path) == older
    refused = backups.restore(newer, tmp_path / "new.db", world.desk.path)
    assert isinstance(refused, Problem)
    assert not (tmp_path / "new.db").exists()
    states = [bool(faults) for _, faults in backups.list_backups(world.desk.path)]
    assert states == [True, False]


def test_a_backup_whose_history_was_edited_is_not_restored(world: World, tmp_path: Path) -> None:
    world.pull()
    path = made(world)
    import sqlite3

    with sqlite3.connect(path) as connection:
        connection.execute("UPDATE history_line SET body = replace(body, 'Kit', 'Kid')")
    connection.close()
    refused = backups.restore(path, tmp_path / "new.db", world.desk.path)
    assert isinstance(refused, Problem)
    assert "was changed after it was recorded" in refused.what


@pytest.fixture
def damaged(new_world: Callable[[], World]) -> tuple[Path, Path, Clock]:
    """A closed desk with a page overwritten, and its sound backup."""
    world = new_world()
    for _ in range(20):
        world.pull()
    good = made(world)
    world.desk.close()
    path = world.desk.path
    content = bytearray(path.read_bytes())
    for start in range(4096 * 4, len(content), 4096):
        content[start : start + 64] = b"\xff" * 64
    path.write_bytes(bytes(content))
    return path, good, world.desk.clock


def test_damage_inside_is_found_by_the_next_backup_which_is_not_kept(damaged: tuple[Path, Path, Clock]) -> None:
    path, good, clock = damaged
    later = Clock(lambda: clock.now() + timedelta(hours=1))
    problem = backups.back_up(path, later)
    assert isinstance(problem, Problem)
    assert "damaged" in problem.what
    assert str(good) in problem.remedy
    assert [backup.path for backup in backups_of(path)] == [good]
    assert {item.name for item in backups_folder(path).iterdir()} == {good.name, STORE}


def test_damage_at_the_start_is_named_with_the_way_back(damaged: tuple[Path, Path, Clock]) -> None:
    path, good, clock = damaged
    path.write_bytes(b"\x00" * 100 + path.read_bytes()[100:])
    with pytest.raises(CannotOpen) as refused:
        open_desk(path, clock)
    assert "damaged" in refused.value.what
    assert str(good) in refused.value.remedy


def test_a_session_backs_up_at_start_each_hour_and_at_the_end(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    moments = iter(range(1, 1000))
    start = world.now
    clock = Clock(lambda: start + timedelta(minutes=next(moments)))
    monkeypatch.setattr(backups, "START_AFTER_SECONDS", 0.01)
    monkeypatch.setattr(backups, "EVERY_SECONDS", 0.01)
    told: list[str] = []
    enough = threading.Event()
    take_one = backups.back_up

    def counting(path: Path, clock: Clock) -> Taken | Problem:
        taken = take_one(path, clock)
        if len(backups_of(path)) >= 1 and next(calls) == 2:
            enough.set()
        return taken

    calls = iter(range(1000))
    monkeypatch.setattr(backups, "back_up", counting)
    with backups.session(world.desk.path, clock, told.append):
        world.pull()
        assert enough.wait(10)
        before = next(moments)
    assert told == []
    newest = backups_of(world.desk.path)[0]
    assert newest.made_at >= start + timedelta(minutes=before)
    assert list(faults_of(newest.path, whole_history=True)) == []


def test_a_session_says_when_no_backup_can_be_made(world: World) -> None:
    backups_folder(world.desk.path).parent.write_text("in the way")
    told: list[str] = []
    with backups.session(world.desk.path, world.desk.clock, told.append):
        pass
    assert len(told) == 1
    assert told[0].startswith("No backup was made. ")


def test_without_the_screen_a_backup_is_made_once_a_day(world: World) -> None:
    path = world.desk.path
    assert backups.back_up_when_due(path, world.desk.clock) is None
    assert backups_of(path) == []
    world.pull()
    assert backups.back_up_when_due(path, world.desk.clock) is None
    first = backups_of(path)
    world.later(hours=23)
    backups.back_up_when_due(path, world.desk.clock)
    assert backups_of(path) == first
    world.later(hours=2)
    backups.back_up_when_due(path, world.desk.clock)
    assert len(backups_of(path)) == 2


def test_before_new_schema_steps_a_backup_is_made(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    from breakdesk.store import migrations

    world.pull()
    world.desk.close()
    extra = migrations.Step(900, "later", ('CREATE TABLE "later" ("id" INTEGER NOT NULL PRIMARY KEY) STRICT',))
    known = migrations.steps()
    monkeypatch.setattr(migrations, "steps", lambda **_given: [*known, extra])
    open_desk(world.desk.path, world.desk.clock).close()
    (backup,) = backups_of(world.desk.path)
    assert backup.reason == "before-update"
    assert list(faults_of(backup.path, whole_history=True)) == []
    monkeypatch.undo()
    with pytest.raises(CannotOpen, match="newer"):
        open_desk(world.desk.path, world.desk.clock)
    copy = backup.path.rename(backup.path.with_name("old.db"))
    world.desk = open_desk(copy, world.desk.clock)


def test_no_schema_step_without_its_backup(world: World, monkeypatch: pytest.MonkeyPatch) -> None:
    from breakdesk.store import migrations

    world.desk.close()
    extra = migrations.Step(900, "later", ('CREATE TABLE "later" ("id" INTEGER NOT NULL PRIMARY KEY) STRICT',))
    known = migrations.steps()
    folder = backups_folder(world.desk.path).parent
    folder.write_text("in the way")
    with monkeypatch.context() as patched:
        patched.setattr(migrations, "steps", lambda **_given: [*known, extra])
        with pytest.raises(CannotOpen, match="left as it is"):
            open_desk(world.desk.path, world.desk.clock)
    folder.unlink()
    world.desk = open_desk(world.desk.path, world.desk.clock)


def test_taking_never_leaves_a_part_behind(world: World, tmp_path: Path) -> None:
    taken = take(tmp_path / "none.db", datetime.now(tz=world.now.tzinfo), tmp_path / "out" / "copy.backup")
    assert not isinstance(taken, Taken)
    assert list((tmp_path / "out").iterdir()) == []
