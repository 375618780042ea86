"""The program on the screen: its desk, its places, and how it starts."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future
from datetime import datetime
from pathlib import Path
from typing import Any, Concatenate, ParamSpec, TypeVar

from textual.screen import Screen

from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk
from breakdesk.desk.thread import DeskThread
from breakdesk.rules.parties import House
from breakdesk.rules.zones import in_zone
from breakdesk.store.parties import read_house
from breakdesk.tui.base import DeskApp

Given = ParamSpec("Given")
Answer = TypeVar("Answer")


def _place(module: str, name: str) -> Callable[[], Screen[Any]]:
    """A place whose module is loaded when somebody first goes there."""

    def make() -> Screen[Any]:
        from importlib import import_module

        screen: Screen[Any] = getattr(import_module(f"breakdesk.tui.screens.{module}"), name)()
        return screen

    return make


class Breakdesk(DeskApp):
    """Breakdesk with an open desk."""

    MODES = {
        "today": _place("today", "TodayScreen"),
        "catch": _place("catch", "CatchScreen"),
        "owed": _place("owed", "OwedScreen"),
        "search": _place("search", "SearchScreen"),
        "parcels": _place("parcels", "ParcelsScreen"),
        "outlook": _place("outlook", "OutlookScreen"),
        "settings": _place("settings", "SettingsScreen"),
    }

    def __init__(self, desk: DeskThread, house: House, **options: Any) -> None:
        """Make the app around an open desk."""
        self.desk = desk
        self.house = house
        super().__init__(desk_name=house.name, now=self._local_now, **options)

    def _local_now(self) -> datetime:
        now = self.desk.clock.as_of()
        return in_zone(now, self.house.zone_at(now))

    async def call(
        self, do: Callable[Concatenate[Desk, Given], Answer], *given: Given.args, **named: Given.kwargs
    ) -> Answer:
        """Runs a desk call on the desk's thread and waits for it without holding up the screen."""
        return await self.desk.call(do, *given, **named)

    def queue(
        self, do: Callable[Concatenate[Desk, Given], Answer], *given: Given.args, **named: Given.kwargs
    ) -> Future[Answer]:
        """Queues a desk call."""
        return self.desk.submit(do, *given, **named)


def run_screen(path: Path, clock: Clock | None = None, *, create: bool = False) -> int:
    """Opens the desk and runs the screen until it is left. Raises store.opening.CannotOpen with a sentence."""
    desk = DeskThread(path, clock, create=create)
    try:
        house = desk.submit(lambda _desk: read_house()).result()
        Breakdesk(desk, house).run()
    finally:
        desk.close()
    return 0
