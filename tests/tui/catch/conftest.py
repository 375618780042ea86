"""A real desk with an invented night behind the real screen, on a clock that tests move."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import monotonic
from typing import Any

import pytest
from textual.pilot import Pilot

from breakdesk.desk.breaks import list_breaks, start_break
from breakdesk.desk.clock import Clock
from breakdesk.desk.loading import load_files
from breakdesk.desk.thread import DeskThread
from breakdesk.store.parties import read_house
from breakdesk.tui.app import Breakdesk
from breakdesk.tui.screens.catch import CatchScreen

from ..waiting import settle

NOW = datetime(2026, 6, 16, 1, 0, tzinfo=UTC)
FILES = {
    "house": "house,zone,currency,country\nThe Corner Table,America/Denver,USD,US\n",
    "people": "participant,handle,on_air_name,email,phone,address\n"
    "Petra Corvane,petrichor,Petra,petra@mail.example,+1 303 555 0107,12 Heron Row\n"
    "Odo Lindquell,odolind,Odo,odo@mail.example,,4 Otter Lane\n"
    "Mina Tarrowfield,minatar,,mina@mail.example,,\n"
    "Silas Nohandle,,,silas@mail.example,,\n",
    "checklist": "product,maker,card,subject,team,variation,numbered_to,features\n"
    "Lantern Hoops,Lantern Works,S-1,Kai Marlowe,Marsh Herons,,,auto\n"
    "Lantern Hoops,Lantern Works,S-1,Kai Marlowe,Marsh Herons,Gold,10,auto\n"
    "Lantern Hoops,Lantern Works,S-2,Bram Oster,River Otters,,,auto\n"
    "Lantern Hoops,Lantern Works,S-3,Kai Marlowe;Bram Oster,Marsh Herons;River Otters,,25,auto\n"
    "Lantern Hoops,Lantern Works,S-4,Ivo Kest,Hill Foxes,,,auto\n"
    "Lantern Hoops,Lantern Works,S-5,Una Dellamore,Bay Wolves,,,auto\n",
    "spots": "break,product,starts_at,format,spot,participant\n"
    "Hoops night,Lantern Hoops,2026-06-15T19:00,team,Marsh Herons,Petra Corvane\n"
    "Hoops night,Lantern Hoops,2026-06-15T19:00,team,River Otters,Odo Lindquell\n"
    "Hoops night,Lantern Hoops,2026-06-15T19:00,team,Hill Foxes,\n"
    "Hoops night,Lantern Hoops,2026-06-15T19:00,team,Bay Wolves,Silas Nohandle\n"
    "Last digits,Lantern Hoops,2026-06-15T19:00,serial,1,Petra Corvane\n"
    "Last digits,Lantern Hoops,2026-06-15T19:00,serial,2,Odo Lindquell\n",
}


@dataclass
class Stage:
    """The desk's thread, and the clock it is on."""

    desk: DeskThread
    tell: list[datetime]

    def app(self, **options: Any) -> Breakdesk:
        """The program on this desk."""
        house = self.desk.submit(lambda _desk: read_house()).result()
        return Breakdesk(self.desk, house, go_on_after_failure=False, **options)

    def wait(self, seconds: int) -> None:
        """Let time pass."""
        self.tell[0] += timedelta(seconds=seconds)

    def ask(self, question: Callable[..., Any], *given: Any) -> Any:
        """Call the desk."""
        return self.desk.submit(question, *given).result()

    def start(self, name: str) -> None:
        """Start a break."""
        lines = self.ask(lambda _desk: list_breaks())
        self.ask(start_break, next(line.id for line in lines if line.name == name))


def make_stage(folder: Path) -> Stage:
    """A desk with the night's files loaded."""
    tell = [NOW]
    desk = DeskThread(folder / "desk.db", Clock(lambda: tell[0]), create=True, who="AB")
    paths = []
    for name, text in FILES.items():
        path = folder / f"{name}.csv"
        path.write_text(text, encoding="utf-8")
        paths.append(path)
    assert desk.submit(load_files, paths).result().saved
    return Stage(desk, tell)


@pytest.fixture
def stage(tmp_path: Path) -> Iterator[Stage]:
    """A desk at 19:00 in Denver, its breaks not started."""
    made = make_stage(tmp_path)
    yield made
    made.desk.close()


@pytest.fixture
def night(stage: Stage) -> Stage:
    """The same with the break by team running."""
    stage.start("Hoops night")
    return stage


async def settled(pilot: Pilot[Any], ready: Callable[[], bool], seconds: float = 20.0) -> None:
    """Wait until something is so and the screen shows it."""
    end = monotonic() + seconds
    while not ready():
        assert monotonic() < end, "it never came to be"
        await settle(pilot)
    await settle(pilot)


async def to_catch(pilot: Pilot[Any]) -> CatchScreen:
    """Go to Catch and wait for its table."""
    await pilot.press("f3")
    await settled(pilot, lambda: isinstance(pilot.app.screen, CatchScreen))
    screen = pilot.app.screen
    assert isinstance(screen, CatchScreen)
    await settled(pilot, lambda: screen.seat is None or screen.seat.table is not None)
    return screen


async def type_line(pilot: Pilot[Any], line: str) -> None:
    """Type a line as a person does."""
    await pilot.press(*("space" if letter == " " else letter for letter in line))
    await settle(pilot)


Typed = Callable[[Pilot[Any], str], Awaitable[None]]
