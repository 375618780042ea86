"""A desk to be attacked through the command line."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from hostile_help import SAMPLE, Attack

from breakdesk.desk.desk import open_desk
from breakdesk.desk.loading import load_files
from breakdesk.store.engine import run as run_sql


@pytest.fixture(scope="module", autouse=True)
def _elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    """A folder to stand in: some names that are tried mean files and folders right here."""
    before = Path.cwd()
    os.chdir(tmp_path_factory.mktemp("here"))
    yield
    os.chdir(before)


@pytest.fixture(scope="session")
def filled(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The sample desk in a file."""
    path = tmp_path_factory.mktemp("hostile") / "desk.db"
    desk = open_desk(path, create=True)
    assert load_files(desk, sorted(SAMPLE.glob("*.csv")) + sorted(SAMPLE.glob("*.xlsx"))).saved
    desk.close()
    return path


@pytest.fixture(scope="session")
def tag(filled: Path) -> str:
    """The tag of a claim that waits to be submitted."""
    desk = open_desk(filled)
    found = run_sql(
        desk.database, "SELECT tag FROM claim WHERE state = 'pulled' AND plan = 'submit' LIMIT 1"
    ).fetchone()
    desk.close()
    return str(found[0])


@pytest.fixture
def attack(filled: Path, capsys: pytest.CaptureFixture[str]) -> Attack:
    """Types commands on the sample desk."""
    return Attack(filled, capsys)


@pytest.fixture
def environment() -> Iterator[Callable[[str, str], None]]:
    """Sets environment variables as any program can; what the system itself refuses is left out."""
    before = dict(os.environ)

    def put(name: str, value: str) -> None:
        try:
            os.environ[name] = value
        except (ValueError, UnicodeError):
            os.environ.pop(name, None)

    yield put
    os.environ.clear()
    os.environ.update(before)
