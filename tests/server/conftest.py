"""A desk on a server, and people who sit down at it, each in a process of their own."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from engines import NO_SERVER, Server, new_database, programs, server_address

from breakdesk.store.server import driver
from breakdesk.store.server_address import kept_file
from tests.desk.conftest import World

SEAT = Path(__file__).with_name("seat.py")
HERE = Path(__file__).resolve().parents[2]


@pytest.fixture
def address() -> str:
    """A new, empty desk on the server of this run."""
    if server_address() is None:
        pytest.skip(NO_SERVER)
    return new_database()


@pytest.fixture
def desk_path(address: str, tmp_path: Path) -> Path:
    """The path by which the program knows that desk."""
    return kept_file(address, tmp_path)


@pytest.fixture
def world(desk_path: Path) -> Iterator[World]:
    """That desk with two makers and three participants."""
    made = World(desk_path.parent, desk_path.name)
    yield made
    made.desk.close()


@pytest.fixture
def own_server() -> Iterator[Server]:
    """A server of this test's own, that it may stop."""
    found = programs()
    if found is None:
        pytest.skip(NO_SERVER)
    server = Server(found)
    yield server
    server.remove()


@pytest.fixture
def far(own_server: Server, tmp_path: Path) -> Iterator[World]:
    """A desk on it."""
    with driver().connect(own_server.address, autocommit=True) as connection:
        connection.execute("CREATE DATABASE house")
    path = kept_file(own_server.address.replace("/postgres?", "/house?"), tmp_path)
    world = World(path.parent, path.name)
    yield world
    world.desk.close()


class Seat:
    """A person at the desk."""

    def __init__(self, path: Path, who: str) -> None:
        command = [sys.executable, str(SEAT), str(path), who]
        environment = {"PYTHONPATH": str(HERE), "PATH": "/usr/bin:/bin"}
        pipe = subprocess.PIPE
        self.process = subprocess.Popen(command, stdin=pipe, stdout=pipe, text=True, env=environment)
        assert self._line() == "ready\n"

    def order(self, *orders: dict[str, Any]) -> None:
        """Orders things to be done one after the other, without waiting for them."""
        assert self.process.stdin is not None
        self.process.stdin.write(json.dumps(orders) + "\n")
        self.process.stdin.flush()

    def answers(self) -> list[Any]:
        """What came of what was ordered."""
        return list(json.loads(self._line()))

    def does(self, **order: Any) -> Any:
        """Does one thing and says what came of it."""
        self.order(order)
        return self.answers()[0]

    def _line(self) -> str:
        assert self.process.stdout is not None
        return self.process.stdout.readline()

    def leave(self) -> None:
        """Ends the process."""
        assert self.process.stdin is not None
        self.process.stdin.close()
        self.process.wait(20)
        assert self.process.stdout is not None
        self.process.stdout.close()


@pytest.fixture
def sit_down(desk_path: Path) -> Iterator[Callable[..., list[Seat]]]:
    """Lets people sit down at the desk."""
    seats: list[Seat] = []

    def start(*names: str) -> list[Seat]:
        seats.extend(Seat(desk_path, name) for name in names)
        return seats[-len(names) :]

    yield start
    for seat in seats:
        seat.leave()


def all_at_once(seats: list[Seat], orders: list[dict[str, Any]]) -> list[list[Any]]:
    """Everybody does the same things, beginning at the same moment."""
    moment = time.time() + 0.05
    for seat in seats:
        seat.order({**orders[0], "at": moment}, *orders[1:])
    return [seat.answers() for seat in seats]
