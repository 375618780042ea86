"""How the screen starts: with the desk that is there, or by asking what there is where none is."""

from __future__ import annotations

from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING, Any
from zoneinfo import ZoneInfo

from rich.console import Console

from breakdesk.desk.clock import Clock
from breakdesk.desk.thread import DeskThread
from breakdesk.desk.throwaway import throwaway_folder
from breakdesk.rules.terms import HOUSE_DEFAULTS
from breakdesk.rules.zones import in_zone, zone
from breakdesk.tui.base import DeskApp
from breakdesk.tui.machine import MachineFile
from breakdesk.tui.theme import theme_for

if TYPE_CHECKING:
    from breakdesk.tui.screens.first_start import FirstStartScreen, Start


def _first_screen() -> FirstStartScreen:
    # Most starts find a desk and never need it.
    from breakdesk.tui.screens.first_start import FirstStartScreen

    return FirstStartScreen()


class FirstStart(DeskApp):
    """The app that asks what is there to begin with; `answer` is None where a person left without one."""

    MODES = {"start": _first_screen}
    START = "start"

    def __init__(self, path: Path, clock: Clock, folder: Path, problem: str = "", **options: Any) -> None:
        """Make the app. `folder` is for a throwaway desk; `problem` says why an answer before did not do."""
        self.path = path
        self.problem = problem
        self.zone = machine_zone()
        self.answer: Start | None = None
        self._clock = clock
        self._folder = folder
        super().__init__(desk_name="", now=lambda: in_zone(clock.as_of(), self.zone), **options)

    def begin(self, answer: Start) -> None:
        """Take the answer and leave."""
        self.answer = answer
        self.exit()

    def make_sample(self) -> Path | None:
        """Make the sample desk; None where its files are not there. Runs on a thread of its own."""
        from breakdesk.desk.desk import open_desk
        from breakdesk.desk.sample import add_stories, fill

        path = self._folder / "sample.db"
        desk = open_desk(path, self._clock, create=True)
        try:
            report = fill(desk)
            if report.errors or not report.saved:
                return None
            add_stories(desk)
            return path
        finally:
            desk.close()


def machine_zone() -> str:
    """The zone that this machine is set to; the default of a house where it does not say a known one."""
    from pendulum.tz.local_timezone import get_local_timezone

    found = getattr(get_local_timezone(), "name", "")
    try:
        checked: ZoneInfo = zone(found)
    except ValueError:
        return HOUSE_DEFAULTS["zone"]
    return checked.key


def opened(
    path: Path, clock: Clock, machine: MachineFile, held: ExitStack, *, create: bool
) -> tuple[DeskThread, bool] | None:
    """Opens the desk, asking first where there is none; None where a person left without an answer.

    The second part tells whether to go on to loading files. A throwaway desk lasts until `held` is closed. Raises
    store.opening.CannotOpen where the desk that was named cannot be opened.
    """
    from breakdesk.store.opening import CannotOpen

    if create or path.exists():
        return DeskThread(path, clock, create=create), False
    folder = held.enter_context(throwaway_folder())
    problem = ""
    while True:
        settings = machine.machine
        app = FirstStart(
            path, clock, folder, problem, theme=theme_for(settings.theme, Console().color_system), rebound=settings.keys
        )
        app.run()
        answer = app.answer
        if answer is None:
            return None
        try:
            return _begun(answer, clock), answer.loads
        except CannotOpen as error:
            problem = str(error)


def _begun(answer: Start, clock: Clock) -> DeskThread:
    from breakdesk.desk.house import start_house

    desk = DeskThread(answer.path, clock, create=answer.house is not None)
    if answer.house is not None:
        desk.submit(start_house, answer.house).result()
    return desk
