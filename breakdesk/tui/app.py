"""The program on the screen: its desk, its places, and how it starts."""

from __future__ import annotations

import gc
import sys
from asyncio import wrap_future
from collections.abc import Callable, Sequence
from concurrent.futures import Future
from contextlib import ExitStack
from datetime import datetime
from pathlib import Path
from typing import Any, Concatenate, ParamSpec, TypeVar

from rich.console import Console
from textual.screen import Screen

from breakdesk.desk import backups
from breakdesk.desk.clock import Clock
from breakdesk.desk.clock_check import clock_warning
from breakdesk.desk.desk import Desk
from breakdesk.desk.failures import own_log_folder
from breakdesk.desk.log import Entry, begin_log, log
from breakdesk.desk.privacy import notes_on_privacy
from breakdesk.desk.summary import Summary, summary
from breakdesk.desk.thread import DeskThread
from breakdesk.desk.watching import Watcher, watching
from breakdesk.files.plain_text import harmless
from breakdesk.rules.parties import House
from breakdesk.rules.zones import in_zone
from breakdesk.store.parties import read_house
from breakdesk.store.server import is_line_down
from breakdesk.store.server_address import is_on_server
from breakdesk.store.trouble import trouble_of
from breakdesk.tui.base import DeskApp
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import ShowText
from breakdesk.tui.machine import read_machine
from breakdesk.tui.theme import theme_for
from breakdesk.tui.wording import without_home

Given = ParamSpec("Given")
Answer = TypeVar("Answer")
OBJECTS_BETWEEN_SEARCHES = (700, 10, 10)
"""Python's own measure: many short searches, none of which a key press has to wait for."""
SECONDS_BETWEEN_TURNS = 0.0005
"""How long the desk's thread may compute before a key that was pressed has its turn; Python's own measure is ten times
as long as drawing an echo takes."""
WARNING_SECONDS = 60.0
"""How long a warning about the desk file itself, or about the clock, stands on the screen."""
HOLIDAYS_AFTER_SECONDS = 10.0
"""When a person has begun to work it is looked whether the makers' holidays are known far enough ahead."""
CLOCK_SECONDS = 60.0
"""How often the machine's clock is looked at, whether it went backwards."""


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
    PAGES = {
        "templates": _place("templates", "TemplatesScreen"),
        "bulk": _place("bulk", "BulkScreen"),
        "safety": _place("safety", "SafetyScreen"),
    }

    def __init__(
        self,
        desk: DeskThread,
        house: House,
        *,
        opens_with_load: bool = False,
        notes: Sequence[str] = (),
        first_count: Future[Summary] | None = None,
        watcher: Watcher | None = None,
        **options: Any,
    ) -> None:
        """Make the app around an open desk; `notes` are sentences that a person has to read first.

        `first_count` is the count of today that was begun while the screen was being made; `watcher` hears of what
        other desks do.
        """
        self._watcher = watcher
        self.desk = desk
        self.house = house
        self._opens_with_load = opens_with_load
        self._notes = tuple(notes)
        self._first_count = first_count
        self._clock_seen: datetime | None = None
        self.clock_words = ""
        super().__init__(desk_name=house.name, now=self._local_now, **options)

    def on_mount(self) -> None:
        """Once the first place is open, open what stands before it."""
        self.call_later(self._open_first)
        if self._watcher is not None:
            from breakdesk.tui.others import OtherDesks

            self.others = OtherDesks(self, self._watcher)
        self.set_interval(CLOCK_SECONDS, self.look_at_clock)
        self.set_timer(HOLIDAYS_AFTER_SECONDS, self._note_holidays)

    async def _note_holidays(self) -> None:
        """Note the makers' public holidays of the coming years, where they run out: once in some years."""
        from breakdesk.desk.holidays import look_ahead

        await self.call(look_ahead)

    @property
    def has_other_desks(self) -> bool:
        """Whether other programs may be at the same desk, and are listened to."""
        return self._watcher is not None

    async def look_at_clock(self) -> str:
        """What is wrong with the machine's clock, empty where it goes forward; said on every screen once it begins."""
        before, now = self.clock_words, self.desk.clock.now()
        self.clock_words = await self.call(clock_warning, self._clock_seen)
        if not self.clock_words:
            self._clock_seen = now
        elif not before:
            self.notify(self.clock_words, severity="warning", timeout=WARNING_SECONDS, markup=False)
        return self.clock_words

    def _open_first(self) -> None:
        if self._opens_with_load:
            from breakdesk.tui.screens.load import LoadScreen

            self.push_screen(LoadScreen())
        if self._notes:
            self.push_screen(ShowText("About the settings of this machine", "\n".join(self._notes)))

    async def count_today(self) -> Summary:
        """Today's five sentences: counted anew, but for the first time, which was begun a moment ago."""
        begun, self._first_count = self._first_count, None
        return await (self.call(summary) if begun is None else wrap_future(begun))

    async def read_house_again(self) -> None:
        """Take in that the house's name or terms were changed."""
        self.house = await self.call(lambda _desk: read_house())
        self.desk_name = self.house.name

    def _local_now(self) -> datetime:
        now = self.desk.clock.as_of()
        return in_zone(now, self.house.zone_at(now))

    async def call(
        self, do: Callable[Concatenate[Desk, Given], Answer], *given: Given.args, **named: Given.kwargs
    ) -> Answer:
        """Runs a desk call on the desk's thread and waits for it without holding up the screen."""
        return await self.desk.call(do, *given, **named)

    def show_failure(self, error: BaseException) -> None:
        """Say in a sentence what stands in the way from outside the program; a mistake of its own gets a report."""
        trouble = trouble_of(error, self.desk.path)
        is_away = is_on_server(self.desk.path) and is_line_down(error)
        if trouble is not None and is_away and isinstance(self.screen, DeskScreen):
            self.screen.say(f"{trouble.what} What is shown may be older than it is.")
        elif trouble is None or isinstance(error, OSError):
            super().show_failure(error)
        elif self.is_running and not isinstance(self.screen, ShowText):
            self.push_screen(ShowText("The desk file", without_home(f"{trouble.what} {trouble.remedy}")))

    def tell_from_elsewhere(self, sentence: str) -> None:
        """Says a sentence that another thread came to, on the screen, or on the error stream once that is gone."""
        sentence = without_home(harmless(sentence))
        if self.is_running:
            self.call_from_thread(self.notify, sentence, severity="error", timeout=WARNING_SECONDS, markup=False)
        else:
            print(sentence, file=sys.stderr)

    def queue(
        self, do: Callable[Concatenate[Desk, Given], Answer], *given: Given.args, **named: Given.kwargs
    ) -> Future[Answer]:
        """Queues a desk call."""
        return self.desk.submit(do, *given, **named)


def run_screen(path: Path, clock: Clock | None = None, *, create: bool = False) -> int:
    """Opens the desk and runs the screen until it is left; asks what is there where there is no desk yet.

    Raises store.opening.CannotOpen with a sentence.
    """
    from breakdesk.tui.starting import opened
    from breakdesk.tui.terminal_end import end_with_terminal
    from breakdesk.tui.unlocking import unlock_before_the_screen

    machine = read_machine()
    with ExitStack() as held:
        begun = opened(path, clock or Clock(), machine, held, create=create)
        if begun is None:
            return 0
        desk, loads = begun
        held.callback(desk.close)
        unlock_before_the_screen(desk)
        house = desk.submit(lambda _desk: read_house()).result()
        # While the desk counts, the screen is made.
        first_count = desk.submit(summary)
        settings = machine.machine
        app = Breakdesk(
            desk,
            house,
            opens_with_load=loads,
            first_count=first_count,
            notes=(*machine.problems, *map(without_home, notes_on_privacy(desk.path))),
            report_folder=own_log_folder(),
            on_air=not settings.never_streams,
            theme=theme_for(settings.theme, Console().color_system),
            rebound=settings.keys,
            clear_codes_after=settings.clear_codes_after,
            watcher=held.enter_context(watching(desk.path)),
        )
        begin_log(own_log_folder())
        log(Entry.OPENED)
        held.callback(log, Entry.LEFT)
        with backups.session(desk.path, desk.clock, app.tell_from_elsewhere):
            # What is loaded by now stays until the end: no later search for unreachable objects has to walk it.
            gc.freeze()
            gc.set_threshold(*OBJECTS_BETWEEN_SEARCHES)
            sys.setswitchinterval(SECONDS_BETWEEN_TURNS)
            end_with_terminal()
            app.run()
    return 0
