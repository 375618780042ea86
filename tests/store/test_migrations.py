"""Desks of every stored schema are brought up to date: a backup before, checks after, whole or not at all."""

from __future__ import annotations

import gzip
import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest

from breakdesk.store import chain, migrations
from breakdesk.store.backups import backups_of, faults_of, faults_of_desk
from breakdesk.store.engine import connect_aside, run
from breakdesk.store.migrations import Step, steps, taken
from breakdesk.store.models import StrictSqlite
from breakdesk.store.opening import CannotOpen, open_desk_file

NOW = datetime(2026, 8, 1, 9, tzinfo=UTC)
STORED = sorted(Path(__file__).with_name("files").glob("schema-*.db.gz"))
COUNTED = ("claim", "action", "history_line", "participant", "address", "claim_code", "free_text")
LATER = (
    Step(
        901,
        "a table",
        (
            'CREATE TABLE "later" ("id" INTEGER PRIMARY KEY, "claim_id" INTEGER REFERENCES "claim" ("id")) STRICT',
            'INSERT INTO "later" SELECT "id", "id" FROM "claim"',
        ),
    ),
    Step(
        902,
        "a column",
        ('ALTER TABLE "claim" ADD COLUMN "later" TEXT NOT NULL DEFAULT \'\'', 'UPDATE "claim" SET "later" = "tag"'),
    ),
    # To change a column a table is made anew (SQLite, "ALTER TABLE", section 7): what refers to it has to stay.
    Step(
        903,
        "a table made anew",
        (
            'CREATE TABLE "new_participant" AS SELECT * FROM "participant"',
            'DROP TABLE "participant"',
            'CREATE TABLE "participant" ("id" INTEGER PRIMARY KEY, "name" TEXT NOT NULL) STRICT',
            'INSERT INTO "participant" SELECT "id", "name" FROM "new_participant"',
            'DROP TABLE "new_participant"',
        ),
    ),
)
BROKEN = Step(904, "a broken reference", ('INSERT INTO "later" VALUES (99999, 99999)',))
WRONG = Step(904, "a wrong statement", ('UPDATE "claim" SET "later" = \'half\'', 'INSERT INTO "nowhere" VALUES (1)'))


@pytest.fixture(params=STORED, ids=lambda path: path.name)
def stored(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    """A desk that was stored when its schema was new."""
    path = tmp_path / "desk.db"
    path.write_bytes(gzip.decompress(request.param.read_bytes()))
    return path


def told_later(monkeypatch: pytest.MonkeyPatch, *more: Step) -> None:
    """Lets this version know further steps, as a later one would."""
    known = [*steps(), *LATER, *more]
    monkeypatch.setattr(migrations, "steps", lambda **_given: known)


def counts(path: Path) -> dict[str, int]:
    database = connect_aside(path)
    found = {name: run(database, f'SELECT count(*) FROM "{name}"').fetchone()[0] for name in COUNTED}
    database.close()
    return found


def test_there_is_a_stored_file_of_every_schema_but_those_to_come() -> None:
    assert [int(path.name[7:11]) for path in STORED] == [step.number for step in steps()]


def test_a_stored_desk_is_brought_up_to_date_whole(stored: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    before = counts(stored)
    assert before["claim"] == 2
    assert before["claim_code"] == 1
    told_later(monkeypatch)
    opened = open_desk_file(stored, NOW, create=False)
    assert taken(opened.database) == LATER[-1].number
    assert run(opened.database, 'SELECT count(*) FROM "claim" WHERE "later" = "tag"').fetchone()[0] == 2
    assert list(chain.broken_links(opened.database)) == []
    assert run(opened.database, "PRAGMA foreign_keys").fetchone()[0] == 1
    opened.close()
    assert counts(stored) == before
    assert list(faults_of_desk(stored, whole_history=True)) == []
    (backup,) = backups_of(stored)
    assert backup.reason == "before-update"
    assert list(faults_of(backup.path, whole_history=True)) == []
    assert counts(backup.path) == before
    open_desk_file(stored, NOW, create=False).close()
    assert len(backups_of(stored)) == 1


@pytest.mark.parametrize("step", [BROKEN, WRONG])
def test_a_step_that_fails_leaves_no_trace_of_itself(stored: Path, step: Step, monkeypatch: pytest.MonkeyPatch) -> None:
    told_later(monkeypatch, step)
    with pytest.raises(Exception, match=r"broken references|nowhere"):
        open_desk_file(stored, NOW, create=False)
    database = connect_aside(stored)
    assert taken(database) == LATER[-1].number
    assert run(database, 'SELECT count(*) FROM "claim" WHERE "later" = \'half\'').fetchone()[0] == 0
    assert run(database, 'SELECT count(*) FROM "later" WHERE "id" = 99999').fetchone()[0] == 0
    database.close()
    assert list(faults_of_desk(stored, whole_history=True)) == []
    assert len(backups_of(stored)) == 1


def test_a_desk_of_a_newer_version_is_refused_byte_for_byte(stored: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    with monkeypatch.context() as later:
        told_later(later)
        open_desk_file(stored, NOW, create=False).close()
    before = stored.read_bytes()
    with pytest.raises(CannotOpen, match="newer Breakdesk"):
        open_desk_file(stored, NOW, create=False)
    assert stored.read_bytes() == before


def test_two_programs_that_start_at_once_take_each_step_once(stored: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    told_later(monkeypatch)
    wrong: list[BaseException] = []

    def take_them() -> None:
        database = StrictSqlite(str(stored), autoconnect=False, lock_type="IMMEDIATE", timeout=20)
        try:
            database.connect()
            migrations.migrate(database, NOW)
        except BaseException as error:
            wrong.append(error)
        finally:
            database.close()

    both = [threading.Thread(target=take_them) for _ in range(2)]
    for one in both:
        one.start()
    for one in both:
        one.join()
    assert wrong == []
    database = connect_aside(stored)
    numbers = [row[0] for row in run(database, "SELECT number FROM migration ORDER BY number")]
    database.close()
    assert numbers == [*(step.number for step in steps() if step.number < 900), 901, 902, 903]
