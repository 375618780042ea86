"""An archive holds every table and every column, whatever stands in them: random rows go there and back the same."""

from __future__ import annotations

import json
import random
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk.archive import Archived, archive, unarchive
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import open_desk
from breakdesk.desk.loading import load_files
from breakdesk.store.archiving import SCHEMA_FILE, tables_and_digests
from breakdesk.store.backups import copy_proved
from breakdesk.store.engine import connect_aside, run
from breakdesk.store.models import TABLES

pytestmark = pytest.mark.about_files

World = Any
NOT_AT_RANDOM = ("migration", "action", "history_line", "history_head")
"""What makes a file a desk, and its history, whose chain is checked on its own: these rows stay as they were."""
ODD_TEXTS = [
    "", "'", "''", "=1+1", "-5", "+", "@x",
    "\t", "\r\n", "\n", "a\rb", '"', 'a "b", c', ",", "\x00", "NULL", "\\N", "{}",
    "\ufeff", "\u2028", "\x1b[2J", "ſß🂡", "x" * 5000, " blank ", "0", "1e9", "true", "# a",
]  # fmt: skip
ODD_NUMBERS = [0, 1, -1, 2**63 - 1, -(2**63), 10**15]


def value(kind: str, chance: random.Random) -> Any:
    """Any value that a column of this type can hold."""
    if kind == "INTEGER":
        return chance.choice([*ODD_NUMBERS, chance.randrange(-(2**63), 2**63)])
    if kind == "BLOB":
        return chance.randbytes(chance.choice((0, 1, 9)))
    return chance.choice([*ODD_TEXTS, "".join(chr(chance.randrange(0xD7FF)) for _ in range(6))])


def columns(path: Path) -> dict[str, list[tuple[str, str, bool]]]:
    """The columns of every table in a file: name, type, and whether it may have no value."""
    database = connect_aside(path)
    names = [row[0] for row in run(database, "SELECT name FROM sqlite_master WHERE type = 'table'")]
    found = {
        name: [(row[1], row[2], not row[3] and not row[5]) for row in run(database, f'PRAGMA table_info("{name}")')]
        for name in names
        if not name.startswith("sqlite_")
    }
    database.close()
    return found


def test_every_table_and_column_is_described_and_written(new_world: Callable[[], World], tmp_path: Path) -> None:
    world = new_world()
    assert isinstance(archive(world.desk.path, tmp_path / "open", Clock()), Archived)
    schema = json.loads((tmp_path / "open" / SCHEMA_FILE).read_text())
    here = columns(world.desk.path)
    assert set(here) == {table._meta.table_name for table in TABLES}
    assert {name: [column["name"] for column in table["columns"]] for name, table in schema["tables"].items()} == {
        name: [column for column, _, _ in found] for name, found in here.items()
    }
    assert {path.stem for path in (tmp_path / "open").glob("*.jsonl")} == set(here)


@pytest.fixture(scope="module")
def base(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A desk at which one thing was done."""
    folder = tmp_path_factory.mktemp("base")
    (folder / "claims.csv").write_text("participant,maker,subject,pulled_at\nAda Fenn,Tern Cards,Kit Moor,2026-02-20\n")
    desk = open_desk(folder / "desk.db", create=True)
    assert load_files(desk, [folder / "claims.csv"]).saved
    desk.close()
    return folder / "desk.db"


def crowded(base: Path, path: Path, chance: random.Random) -> None:
    """Makes a copy of the desk with random rows in every table, which refer to each other as they should."""
    assert copy_proved(base, path) is None
    database = connect_aside(path, writable=True)
    run(database, "PRAGMA foreign_keys = OFF")
    for table, found in columns(path).items():
        if table in NOT_AT_RANDOM:
            continue
        refers = {row[3] for row in run(database, f'PRAGMA foreign_key_list("{table}")')}
        for number in (1, 2, 3):
            row = [
                number if name == "id" else 1 if name in refers else None if empty and chance.random() < 0.3
                else value(kind, chance)
                for name, kind, empty in found
            ]  # fmt: skip
            run(database, f'INSERT OR IGNORE INTO "{table}" VALUES ({", ".join("?" for _ in row)})', row)
    assert run(database, "PRAGMA foreign_key_check").fetchall() == []
    assert all(run(database, f'SELECT count(*) FROM "{table}"').fetchone()[0] for table in columns(path))
    database.close()


@pytest.mark.parametrize("form", ["json", "csv"])
@pytest.mark.parametrize("seed", range(5))
def test_any_rows_go_there_and_back_without_a_difference(base: Path, tmp_path: Path, form: str, seed: int) -> None:
    path = tmp_path / "desk.db"
    crowded(base, path, random.Random(seed))
    assert isinstance(archive(path, tmp_path / "open", Clock(), form), Archived)
    back = unarchive(tmp_path / "open", tmp_path / "new.db")
    assert isinstance(back, Archived), back
    assert tables_and_digests(tmp_path / "new.db") == tables_and_digests(path)
