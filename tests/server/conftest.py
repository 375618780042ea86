"""A desk on a server, for several people at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from engines import NO_SERVER, new_database, server_address

from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.store.server_address import kept_file

MONDAY = datetime(2026, 3, 2, 17, 0, tzinfo=UTC)


@pytest.fixture
def address() -> str:
    """A new, empty desk on the server of this run."""
    if server_address() is None:
        pytest.skip(NO_SERVER)
    return new_database()


@pytest.fixture
def sit_down(address: str, tmp_path: Path) -> Iterator[Callable[..., Desk]]:
    """Opens the desk once more, for another person at another machine."""
    desks: list[Desk] = []

    def open_again(who: str = "T") -> Desk:
        path = kept_file(address, tmp_path / who)
        desks.append(open_desk(path, Clock(lambda: MONDAY), create=True, who=who))
        return desks[-1]

    yield open_again
    for desk in desks:
        desk.close()
