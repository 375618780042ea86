"""The ways to unlock the codes, as a person uses them."""

from __future__ import annotations

from typing import Any

import pytest

from breakdesk.desk import backups, locking
from breakdesk.desk.codes import enter_code, read_code, show_code
from breakdesk.desk.desk import open_desk
from breakdesk.desk.problems import Done, Problem
from breakdesk.store import keys
from breakdesk.store.backups import Taken
from breakdesk.store.models import HistoryLine
from breakdesk.store.sealing import key_path

World = Any
WORDS = "seven slow otters"


def reopened(world: World) -> None:
    world.desk.close()
    world.desk = open_desk(world.desk.path, world.desk.clock)


def with_code(world: World) -> str:
    tag = world.pull()
    world.done(enter_code(world.desk, tag, "QUARTZ-MOSS-77"))
    return str(tag)


@pytest.mark.about_files
def test_a_passphrase_in_place_of_the_key_file(world: World) -> None:
    tag = with_code(world)
    key = world.claim(tag).id
    world.done(locking.add_passphrase(world.desk, WORDS))
    removed = world.done(locking.remove_way(world.desk, keys.KEY_FILE))
    assert removed.warnings == (locking.ONLY_A_PASSPHRASE,)
    assert not key_path(world.desk.path).exists()
    made = backups.back_up(world.desk.path, world.desk.clock)
    assert isinstance(made, Taken)
    restored = backups.restore(made.path, world.desk.path.with_name("again.db"), world.desk.path)
    assert isinstance(restored, backups.Restored)
    assert "key file" not in restored.said
    reopened(world)
    assert locking.must_be_typed(world.desk)
    assert isinstance(read_code(world.desk, key), Problem)
    refused = world.refused(lambda: enter_code(world.desk, tag, "OTHER-CODE-1"))
    assert "locked" in refused.what
    wrong = locking.unlock(world.desk, "seven slow herons")
    assert wrong is not None
    assert isinstance(read_code(world.desk, key), Problem)
    assert locking.unlock(world.desk, WORDS) is None
    assert read_code(world.desk, key) == "QUARTZMOSS77"


@pytest.mark.about_files
def test_a_recovery_key_opens_the_desk_and_its_backups(world: World) -> None:
    tag = with_code(world)
    result, text = locking.add_recovery_key(world.desk)
    world.done(result)
    backup = backups.back_up(world.desk.path, world.desk.clock)
    new = world.desk.path.with_name("new.db")
    assert isinstance(backup, Taken)
    assert isinstance(backups.restore(backup.path, new, world.desk.path), backups.Restored)
    key = world.claim(tag).id
    world.desk.close()
    world.desk = open_desk(new, world.desk.clock)
    assert locking.must_be_typed(world.desk)
    doubted = locking.unlock(world.desk, text[:-1] + ("3" if text[-1] != "3" else "4"))
    assert doubted is not None
    assert "Group 8" in doubted.remedy
    assert locking.unlock(world.desk, text) is None
    assert read_code(world.desk, key) == "QUARTZMOSS77"
    world.done(locking.add_key_file(world.desk))
    reopened(world)
    assert not locking.must_be_typed(world.desk)
    assert read_code(world.desk, key) == "QUARTZMOSS77"


def test_the_last_way_that_needs_no_recovery_key_stays(world: World) -> None:
    result, _ = locking.add_recovery_key(world.desk)
    world.done(result)
    refused = world.refused(lambda: locking.remove_way(world.desk, keys.KEY_FILE))
    assert "last way" in refused.what
    assert "has no passphrase" in world.refused(lambda: locking.remove_way(world.desk, keys.PASSPHRASE)).what
    assert [line.kind for line in locking.list_ways(world.desk)] == [keys.KEY_FILE, keys.RECOVERY]


def test_a_short_passphrase_and_a_missing_keyring_are_refused(world: World) -> None:
    assert "at least 12" in world.refused(lambda: locking.add_passphrase(world.desk, "short")).what
    assert "no keyring" in world.refused(lambda: locking.add_keyring(world.desk)).what


def test_who_looked_at_a_code_is_in_the_history_and_the_code_is_not(world: World) -> None:
    tag = with_code(world)
    result, code = show_code(world.desk, tag)
    assert isinstance(result, Done)
    assert code == "QUARTZMOSS77"
    assert code not in result.said
    lines = list(HistoryLine.select())
    assert [(line.thing, line.kind) for line in lines][-1] == ("claim code", "code_shown")
    assert not any("QUARTZ" in line.body for line in lines)
    none = world.pull()
    problem, empty = show_code(world.desk, none)
    assert isinstance(problem, Problem)
    assert empty == ""
