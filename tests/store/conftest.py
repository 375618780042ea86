"""A desk file with two actions in its history."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from engines import put_on_server

from breakdesk.store import history
from breakdesk.store.opening import OpenDesk, open_desk_file

NOW = datetime(2026, 3, 2, 18, tzinfo=UTC)


@pytest.fixture
def desk_file(tmp_path: Path, engine: str) -> Iterator[OpenDesk]:
    """An open, empty desk, on either engine."""
    if engine == "a server":
        put_on_server(tmp_path / "desk.db")
    opened = open_desk_file(tmp_path / "desk.db", NOW, create=True)
    yield opened
    opened.close()


@pytest.fixture
def told(desk_file: OpenDesk) -> OpenDesk:
    """A desk whose history has three actions of two lines each."""
    with desk_file.database.atomic():
        for number in (1, 2, 3):
            stamp = history.Stamp(number * 111, f"act {number}", "T", "desk", NOW.date(), NOW)
            lines = [
                history.Line("maker", number, kind, NOW.date(), history.canonical({"said": f"{kind} {number}"}))
                for kind in ("first", "second")
            ]
            assert history.append(desk_file.database, stamp, lines) == number
    return desk_file
