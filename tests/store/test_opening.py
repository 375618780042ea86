"""Opening a desk file: schema steps, newer desks, damaged files, foreign files; always a sentence."""

from __future__ import annotations

import os
import sqlite3
import stat
from datetime import UTC, datetime
from pathlib import Path

import pytest

from breakdesk.store.engine import run
from breakdesk.store.migrations import migrate, pending, steps, taken
from breakdesk.store.migrations.drafting import creating_statements
from breakdesk.store.opening import CannotOpen, OpenDesk, open_desk_file

NOW = datetime(2026, 3, 2, 18, tzinfo=UTC)


def reason(path: Path, *, create: bool = False) -> str:
    """Why a file cannot be opened."""
    with pytest.raises(CannotOpen) as refused:
        open_desk_file(path, NOW, create=create)
    assert refused.value.what.endswith(".")
    assert refused.value.remedy.endswith(".")
    return str(refused.value)


@pytest.mark.parametrize("on_server", [False, True])
def test_the_stored_steps_make_the_tables_of_the_models(on_server: bool) -> None:
    stored = [statement for step in steps(on_server=on_server) for statement in step.statements]
    drawn = creating_statements(on_server=on_server)
    assert [" ".join(statement.split()) for statement in stored] == [" ".join(text.split()) for text in drawn]


def test_steps_are_taken_once(desk_file: OpenDesk) -> None:
    assert taken(desk_file.database) == len(steps())
    assert pending(desk_file.database) == []
    assert migrate(desk_file.database, NOW) == []
    recorded = run(desk_file.database, "SELECT number, name FROM migration ORDER BY number").fetchall()
    assert recorded == [(step.number, step.name) for step in steps()]
    assert [step.number for step in steps()] == list(range(1, len(steps()) + 1))


def test_no_step_inside_a_transaction(desk_file: OpenDesk) -> None:
    with desk_file.database.atomic(), pytest.raises(RuntimeError, match="outside"):
        migrate(desk_file.database, NOW)


def test_a_newer_desk_is_refused_untouched(tmp_path: Path) -> None:
    path = tmp_path / "desk.db"
    opened = open_desk_file(path, NOW, create=True)
    run(opened.database, "INSERT INTO migration (number, name, applied_at) VALUES (999, 'later', 0)")
    opened.close()
    assert "newer Breakdesk" in reason(path)


def test_what_is_no_desk_is_refused_and_left_alone(tmp_path: Path) -> None:
    garbage, empty, foreign = tmp_path / "a.db", tmp_path / "b.db", tmp_path / "c.db"
    garbage.write_bytes(b"not a desk at all" * 999)
    empty.touch()
    connection = sqlite3.connect(foreign)
    connection.execute("CREATE TABLE recipe (id INTEGER)")
    connection.commit()
    connection.close()
    before = foreign.read_bytes()
    assert "is not a desk" in reason(garbage)
    assert "is empty" in reason(empty)
    assert "is not a desk" in reason(foreign)
    assert "is not a desk" in reason(foreign, create=True)
    assert foreign.read_bytes() == before
    assert "no desk at" in reason(tmp_path / "none.db")
    assert "is a folder" in reason(tmp_path)


@pytest.mark.about_files
def test_a_damaged_desk_is_named(tmp_path: Path) -> None:
    path = tmp_path / "desk.db"
    open_desk_file(path, NOW, create=True).close()
    whole = path.read_bytes()
    path.write_bytes(whole[:100] + os.urandom(len(whole) - 100))
    assert "damaged" in reason(path)


def test_a_file_in_a_folder_that_is_none(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("x")
    assert "cannot be opened" in reason(tmp_path / "file" / "desk.db", create=True)


@pytest.mark.about_files
@pytest.mark.skipif(os.name == "nt", reason="rights are told otherwise there")
def test_a_new_desk_is_for_its_owner_only(tmp_path: Path) -> None:
    path = tmp_path / "new folder" / "desk.db"
    open_desk_file(path, NOW, create=True).close()
    assert stat.S_IMODE(path.stat().st_mode) == 0o600


@pytest.mark.about_files
def test_the_engine_is_set_as_the_storage_needs(desk_file: OpenDesk) -> None:
    said = {
        name: run(desk_file.database, f"PRAGMA {name}").fetchone()[0]
        for name in ("journal_mode", "synchronous", "foreign_keys")
    }
    assert said == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}
