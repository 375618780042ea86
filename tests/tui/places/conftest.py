"""The program with the sample desk behind it, on a day of its own, and somebody at the keyboard."""

from __future__ import annotations

import shutil
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AbstractAsyncContextManager, asynccontextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, TypeVar

import pytest
from textual import events
from textual.pilot import Pilot

from breakdesk.desk.checking import verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.sample import add_stories, fill
from breakdesk.desk.thread import DeskThread
from breakdesk.store.parties import read_house
from breakdesk.tui.app import Breakdesk
from breakdesk.tui.base import DeskApp

from ..waiting import settle

NOON = datetime(2026, 6, 15, 18, 0, tzinfo=UTC)
"""Noon in Denver, where the sample's house is, on the day for which its files were written."""
Answer = TypeVar("Answer")


class Player:
    """Presses keys and reads the screen."""

    def __init__(self, app: DeskApp, pilot: Pilot[Any], thread: DeskThread | None) -> None:
        self.app = app
        self.pilot = pilot
        self._thread = thread

    async def settle(self) -> None:
        """Waits until the desk has answered and the screen is drawn."""
        await settle(self.pilot, self._thread)

    async def press(self, *keys: str) -> None:
        """Presses keys one after the other, each once the one before has done its work."""
        for key in keys:
            await self.pilot.press(key)
            await self.settle()

    async def paste(self, text: str, *keys: str) -> None:
        """Pastes a text where the cursor is, then presses keys."""
        focused = self.app.focused
        assert focused is not None, "nothing takes a text here"
        focused.post_message(events.Paste(text))
        await self.settle()
        await self.press(*keys)

    @property
    def seen(self) -> str:
        """The text on the screen."""
        return "\n".join(strip.text for strip in self.app.screen._compositor.render_strips())

    @property
    def words(self) -> str:
        """The text on the screen with single spaces, so that a wrapped sentence is found."""
        return " ".join(self.seen.split())

    @property
    def status(self) -> str:
        """The line that says what was done last, whole."""
        from breakdesk.tui.widgets.key_line import StatusLine

        return self.app.screen.query_one(StatusLine).text


class House:
    """A desk on its thread, and short ways to ask it."""

    def __init__(self, path: Path) -> None:
        self.thread = DeskThread(path, Clock(lambda: NOON), create=True, who="T")

    def do(self, work: Callable[..., Answer], *given: Any, **named: Any) -> Answer:
        """Runs something on the desk's thread and waits for it."""
        return self.thread.submit(work, *given, **named).result()

    def app(self, **options: Any) -> Breakdesk:
        """The program, without its way of going on after a failure."""
        house = self.do(lambda _desk: read_house())
        return Breakdesk(self.thread, house, go_on_after_failure=False, **options)

    @asynccontextmanager
    async def open(self, *, size: tuple[int, int] = (80, 24), **options: Any) -> AsyncIterator[Player]:
        """The program on a screen, and somebody at the keyboard."""
        app = self.app(**options)
        async with app.run_test(size=size) as pilot:
            player = Player(app, pilot, self.thread)
            await player.settle()
            yield player

    def close(self) -> None:
        """Everything must hold at the end of a test."""
        found = self.do(lambda desk: list(verify(desk)))
        self.thread.close()
        assert found == []


def _made(folder: Path) -> Path:
    path = folder / "sample.db"
    desk: Desk = open_desk(path, Clock(lambda: NOON), create=True, who="T")
    report = fill(desk)
    assert report.saved, report.problems
    assert add_stories(desk) == []
    desk.close()
    return path


@pytest.fixture(scope="session")
def _sample_made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return _made(tmp_path_factory.mktemp("sample"))


@pytest.fixture
def sample(_sample_made: Path, tmp_path: Path) -> Iterator[House]:
    """The sample desk, a copy for each test."""
    for part in _sample_made.parent.iterdir():
        shutil.copy(part, tmp_path / part.name)
    house = House(tmp_path / _sample_made.name)
    yield house
    house.close()


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[House]:
    """A desk with nothing in it."""
    house = House(tmp_path / "empty.db")
    yield house
    house.close()


@pytest.fixture
def clock() -> Clock:
    """The clock of these tests."""
    return Clock(lambda: NOON)


@pytest.fixture
def play() -> Callable[..., AbstractAsyncContextManager[Player]]:
    """Put somebody at the keyboard of any app."""

    @asynccontextmanager
    async def played(app: DeskApp, size: tuple[int, int] = (80, 24)) -> AsyncIterator[Player]:
        async with app.run_test(size=size) as pilot:
            player = Player(app, pilot, None)
            await player.settle()
            yield player

    return played


@pytest.fixture(autouse=True)
def settings_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The settings file of this machine, which is not there yet; the clipboard stays as it is and nobody pauses."""
    path = tmp_path / "machine" / "settings.toml"
    monkeypatch.setenv("BREAKDESK_CONFIG", str(path))
    monkeypatch.setattr("breakdesk.tui.clipboard._system_copy", lambda _text: True)
    monkeypatch.setattr("breakdesk.tui.screens.templates.PAUSE", 0.0)
    return path
