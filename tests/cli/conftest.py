"""Runs commands as a person would type them, on real desks in temporary folders."""

from __future__ import annotations

import io
import json
import shutil
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from breakdesk.cli.running import run

SAMPLE = Path(__file__).resolve().parents[2] / "sample_breaks"


@dataclass(frozen=True, slots=True)
class Ran:
    """What a command came to."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The JSON that it printed."""
        return json.loads(self.out)


Shell = Callable[..., Ran]


@pytest.fixture
def shell(tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Shell:
    """Runs a command on one desk; `typed` is what comes from standard input."""
    monkeypatch.setenv("BREAKDESK_DESK", str(tmp_path / "desk.db"))
    monkeypatch.setenv("BREAKDESK_WHO", "JK")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))

    def type_command(*arguments: object, typed: str = "") -> Ran:
        monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        capsys.readouterr()
        code = run([str(argument) for argument in arguments])
        said = capsys.readouterr()
        return Ran(code, said.out, said.err)

    return type_command


@pytest.fixture
def done(shell: Shell) -> Shell:
    """Runs a command that has to succeed."""

    def type_command(*arguments: object, typed: str = "") -> Ran:
        ran = shell(*arguments, typed=typed)
        assert ran.code == 0, (arguments, ran)
        return ran

    return type_command


@pytest.fixture
def sample() -> Callable[..., list[Path]]:
    """Finds files of the sample desk by their names' patterns."""

    def find(*names: str) -> list[Path]:
        return [path for name in names for path in sorted(SAMPLE.glob(name))]

    return find


@pytest.fixture(scope="session")
def loaded(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the whole sample desk, loaded from its files once."""
    folder = tmp_path_factory.mktemp("loaded")
    files = [str(path) for pattern in ("*.csv", "*.xlsx") for path in sorted(SAMPLE.glob(pattern))]
    assert run(["--desk", str(folder / "desk.db"), "load", *files]) == 0
    return folder


@pytest.fixture
def full(done: Shell, loaded: Path, tmp_path: Path) -> Shell:
    """A copy of the whole sample desk."""
    shutil.copytree(loaded, tmp_path, dirs_exist_ok=True)
    return done
