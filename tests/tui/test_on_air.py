"""On air not one secret reaches the terminal: every byte is read as a terminal would show it, in every place."""

from __future__ import annotations

import base64
import os
import re
import select
import subprocess
import sys
import time
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path
from pkgutil import walk_packages
from typing import Any

import pyte
import pytest
from textual.screen import Screen

from breakdesk import tui

if sys.platform == "win32":
    pytest.skip("needs a pseudo-terminal", allow_module_level=True)

import fcntl
import pty
import struct
import termios

from breakdesk.tui.commands import REGISTRY
from breakdesk.tui.desk_screen import DeskScreen

from .on_air_desk import CODE, REFERENCE, SECRETS, TYPED_CODE, WHERE

SCRIPT = Path(__file__).with_name("on_air_desk.py")
PRIVATE = re.compile(rb"\x1b\[[<>=?][0-9;]*[a-zA-Z]")
CLIPBOARD = re.compile(rb"\x1b\]52;[^;]*;([A-Za-z0-9+/=]*)")
TITLE = re.compile(rb"\x1b\]2;([^\x07\x1b]*)")
KEYS = {
    "enter": "\r", "escape": "\x1b", "tab": "\t", "down": "\x1b[B", "up": "\x1b[A", "f1": "\x1bOP", "f9": "\x1b[20~",
    "f2": "\x1bOQ", "f3": "\x1bOR", "f4": "\x1bOS", "f5": "\x1b[15~", "f6": "\x1b[17~",
    "f7": "\x1b[18~", "f8": "\x1b[19~",
    "f12": "\x1b[24~", "space": " ",
}  # fmt: skip
PLACES = ("today", "owed", "search", "parcels", "outlook", "settings")
TEXTS = {
    "PHOTOS": "{folder}/photos of a phone",
    "CLAIMS": "{folder}/claims.csv",
    "BOUGHT": "{folder}/bought.csv",
    "PAGE": f"{REFERENCE} in production",
    "WORDING": "wording of",
    "BULK": "messages to many",
}
"""What is typed for a word in capitals."""


# Nobody types behind an Esc here, so that it need not be waited for whether it begins another key.
TERMINAL = {"TERM": "xterm-256color", "COLORTERM": "truecolor", "ESCDELAY": "5"}


class Terminal:
    """The program in a pseudo-terminal, and all that ever stood on its screen."""

    def __init__(self, folder: Path, place: str, columns: int, rows: int) -> None:
        self.screen = pyte.Screen(columns, rows)
        self.stream = pyte.ByteStream(self.screen)
        self.folder, self.written, self.pressed = folder, b"", 0
        self.seen: set[str] = set()
        self.handle, end = pty.openpty()
        fcntl.ioctl(end, termios.TIOCSWINSZ, struct.pack("HHHH", rows, columns, 0, 0))
        asked, self.ask = os.pipe()
        self.answer, answer = os.pipe()
        self.process = subprocess.Popen(
            [sys.executable, str(SCRIPT), str(folder / "desk.db"), place, str(asked), str(answer)],
            stdin=end,
            stdout=end,
            stderr=end,
            start_new_session=True,
            pass_fds=(asked, answer),
            env={**os.environ, **TERMINAL, "XDG_CONFIG_HOME": str(folder)},
        )
        for handle in (end, asked, answer):
            os.close(handle)

    @property
    def shown(self) -> str:
        """What stands on the screen now."""
        return "\n".join(self.screen.display)

    def read(self, seconds: float) -> None:
        """Read for a while; a blinking cursor never falls silent."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            if not select.select([self.handle], [], [], left)[0]:
                return
            if not self._take():
                return

    def _take(self) -> bool:
        """Take what was written, as a terminal would."""
        try:
            data = os.read(self.handle, 65536)
        except OSError:
            return False
        self.written += data
        # The emulator does not know this private form and would print its tail.
        self.stream.feed(PRIVATE.sub(b"", data))
        self.seen.add(self.shown)
        return True

    def rest(self) -> None:
        """Read until every key has done its work and the program waits for the next one."""
        os.write(self.ask, f"{self.pressed}\n".encode())
        end = time.monotonic() + 20
        rests = False
        while True:
            ready = select.select([self.handle, self.answer], [], [], 0 if rests else 0.5)[0]
            if self.answer in ready:
                rests = True
                os.read(self.answer, 1)
            elif self.handle not in ready and rests:
                return
            if self.handle in ready and not self._take():
                return
            assert time.monotonic() < end, f"it never came to rest\n{self.shown}"

    def until(self, words: str, seconds: float = 15.0) -> None:
        """Read until words stand on the screen."""
        end = time.monotonic() + seconds
        while words not in self.shown:
            assert time.monotonic() < end, f"never seen: {words}\n{self.shown}"
            self.read(0.05)

    def press(self, key: str) -> None:
        """Press a key by its name, a control key as ctrl+x, or a letter."""
        name = key.removeprefix("ctrl+")
        data = chr(ord(name.upper()) - 64) if key.startswith("ctrl+") else KEYS.get(key, key)
        os.write(self.handle, data.encode())
        self.pressed += 1
        self.rest()

    def type(self, text: str) -> None:
        """Type a text at once, as a scanner does."""
        os.write(self.handle, text.encode())
        self.pressed += len(text)
        self.rest()

    @property
    def visited(self) -> list[str]:
        """The names of the screens and dialogs that came to the top, in their order."""
        return (self.folder / WHERE).read_text(encoding="utf-8").split()

    def leaks(self) -> list[str]:
        """Every secret that reached the screen, its title or the clipboard, with the page where it stood."""
        clipboard = b" ".join(base64.b64decode(found) for found in CLIPBOARD.findall(self.written))
        titles = b" ".join(TITLE.findall(self.written))
        # A secret may be wrapped into the next line, so that lines are joined with and without their blanks.
        pages = [re.sub(r"\s+", " ", page) for page in self.seen]
        texts = [*self.seen, *pages, clipboard.decode(errors="replace"), titles.decode(errors="replace")]
        found = [secret for secret in SECRETS if any(secret in text for text in texts)]
        found += [secret for secret in SECRETS if secret.encode() in self.written and secret not in found]
        return [f"{secret}:\n{next((page for page in self.seen if secret in page), '')}" for secret in found]

    def close(self) -> None:
        """End the program."""
        self.process.kill()
        self.process.wait()
        for handle in (self.handle, self.ask, self.answer):
            os.close(handle)


@pytest.fixture
def terminal(tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Terminal]:
    place, columns, rows = request.param
    running = Terminal(tmp_path, place, columns, rows)
    yield running
    running.close()


def walk(terminal: Terminal, keys: str) -> None:
    for key in keys.split():
        terminal.press(key)


@pytest.mark.parametrize("terminal", [("catch", 120, 40), ("catch", 80, 24)], indirect=True)
def test_catch(terminal: Terminal) -> None:
    terminal.until("Hoops night")
    walk(terminal, "m a r l enter")
    terminal.until("write this on the sleeve")
    walk(terminal, "d e l l enter")
    terminal.until("somebody without a handle")
    walk(terminal, "m a r l o w e space o s t e r enter enter")
    terminal.until("is saved for")
    # Every dialog: code, owner by list, correct, undo, spots, break menu, swap, note, settle, help, the palette.
    walk(terminal, "tab ctrl+o")
    terminal.until("Code of")
    walk(terminal, f"{' '.join(CODE)} enter")
    terminal.until("is on claim K5A1 already")
    walk(terminal, f"ctrl+o {' '.join(TYPED_CODE)} enter")
    terminal.until("is kept, sealed")
    walk(terminal, "tab")
    for key, words in (
        ("ctrl+r", "Correct what of"),
        ("ctrl+t", "first to be submitted"),
        ("f12", "Take which step back?"),
        ("ctrl+f", "Spots, who owns them"),
        ("ctrl+b", "The break"),
        ("w", "Swap"),
        ("n", "Note on"),
        ("s", "How is it settled?"),
        ("f1", "Catch"),
        ("ctrl+p", "Search"),
    ):
        terminal.press(key)
        terminal.until(words)
        terminal.press("escape")
        if "Catch" not in terminal.shown.splitlines()[0]:
            walk(terminal, "f3")
        if words == "first to be submitted":
            walk(terminal, "tab")
    walk(terminal, "ctrl+n enter")
    walk(terminal, "escape ctrl+b enter")
    terminal.until("Which break?")
    assert not (leaks := terminal.leaks()), "\n".join(leaks)


def keys_of(context: str) -> list[str]:
    """The keys of a screen's own commands, those that a pseudo-terminal can be given."""
    keys = [key for command in REGISTRY.of(context) for key in command.keys[:1]]
    return [key for key in keys if len(key) == 1 or key in KEYS or key.startswith("ctrl+")]


@pytest.mark.parametrize("terminal", [(place, 120, 40) for place in PLACES], indirect=True, ids=PLACES)
def test_every_place(terminal: Terminal) -> None:
    terminal.until("ON AIR")
    terminal.rest()
    for keys in ("o l i n enter", "tab down enter", "down down enter", "f1", "ctrl+p n o t e"):
        walk(terminal, keys)
        walk(terminal, "escape escape")
    assert not (leaks := terminal.leaks()), "\n".join(leaks)


def all_screens() -> dict[str, type[Screen[Any]]]:
    """Every screen and dialog of the program that is shown as it is, by its name."""
    for module in walk_packages(tui.__path__, "breakdesk.tui."):
        import_module(module.name)
    found, waiting = {}, [Screen]
    while waiting:
        kind = waiting.pop()
        waiting += kind.__subclasses__()
        if kind.__module__.startswith("breakdesk.") and not any(
            below.__module__.startswith("breakdesk.") for below in kind.__subclasses__()
        ):
            found[kind.__name__] = kind
    return found


WAYS = {
    "rounds": {
        "SubmitRound": "s", "AskRound": "a", "TellRound": "t", "ShipRound": "p", "DecideRound": "d", "LookRound": "l",
    },
    "today": {
        "TodayScreen": "", "UndoScreen": "u", "AnswersScreen": "a w", "LoadScreen": "o", "NoticesScreen": "n",
        "HelpScreen": "f1", "GoOffAir": "f9", "ColumnsScreen": "o CLAIMS enter wait m", "PageScreen": "l v PAGE f12",
    },
    "catch": {
        # A list is pasted before the first claim, and the keys of Catch write one down.
        "AskPage": "f3 ctrl+b down down down down enter", "CatchScreen": "f3", "BoardDialog": "f3 ctrl+f",
        "Pick": "f3 ctrl+b", "AskText": "f3 m a r l enter tab ctrl+o",
        "PileScreen": "f3 ctrl+b down down enter 9 enter",
        "NightPhotosScreen": "f3 ctrl+b down down down down down enter PHOTOS enter",
    },
    "owed": {
        "OwedScreen": "f4", "PersonScreen": "f4 enter", "ClaimsScreen": "f4 c", "ClaimScreen": "f4 c enter",
        "ClaimOutlookScreen": "f4 c enter e", "TotalsScreen": "f4 t", "BackingScreen": "f4 t enter",
        "YearScreen": "f4 t y",
    },
    "places": {
        "SearchScreen": "f5", "ParcelsScreen": "f6", "OutlookScreen": "f7", "SettingsScreen": "f8",
        "PostageBackScreen": "f6 f down enter BOUGHT enter",
        "SafetyScreen": "f8 s", "BulkScreen": "ctrl+p BULK enter", "TemplatesScreen": "ctrl+p WORDING enter",
    },
}  # fmt: skip
"""How one comes to each screen from Today, in one run of the program for each name; a text in capitals is typed."""
ELSEWHERE = {
    "FailureDialog": "says nothing but that something failed: test_failures.py",
    "FirstStartScreen": "stands before a desk that holds nothing yet",
    "ShowText": "opened on the way through the other screens",
    "Confirm": "opened on the way through the other screens",
}
"""Screens that no keys alone lead to, and why."""


def test_no_screen_is_forgotten() -> None:
    walked = {name for ways in WAYS.values() for name in ways}
    assert all_screens().keys() | {"Confirm"} == walked | ELSEWHERE.keys()


@pytest.mark.parametrize("name", WAYS)
@pytest.mark.parametrize("terminal", [("today", 100, 30)], indirect=True)
def test_every_screen(terminal: Terminal, name: str) -> None:
    screens = all_screens()
    terminal.until("ON AIR")
    terminal.rest()
    for wanted, way in WAYS[name].items():
        go(terminal, way, wanted)
        # A dialog is only looked at: its second answer may be the one that goes off air.
        keys = [*keys_of(screens[wanted].CONTEXT), "enter", "f1"] if issubclass(screens[wanted], DeskScreen) else []
        for key in keys:
            if terminal.visited[-1] != wanted:
                go(terminal, way, wanted)
            walk(terminal, f"{key} down enter")
            leave(terminal, wanted)
    assert not (leaks := terminal.leaks()), "\n".join(leaks)


def leave(terminal: Terminal, wanted: str) -> None:
    """Leave what stands above a screen, also what asks whether to leave."""
    for _ in range(3):
        if terminal.visited[-1] != wanted:
            terminal.press("escape")


def go(terminal: Terminal, way: str, wanted: str) -> None:
    """Come to a screen from wherever one is."""
    leave(terminal, "TodayScreen")
    walk(terminal, "f2")
    before = len(terminal.visited)
    for key in way.split():
        if key.isupper():
            terminal.type(TEXTS[key].format(folder=terminal.folder))
        elif key == "wait":
            terminal.read(1.0)
        else:
            terminal.press(key)
    end = time.monotonic() + 10
    while way and wanted not in terminal.visited[before:]:
        assert time.monotonic() < end, f"{way} leads to {terminal.visited[before:]}\n{terminal.shown}"
        terminal.read(0.05)


def test_off_air_the_same_desk_has_something_to_hide(tmp_path: Path) -> None:
    terminal = Terminal(tmp_path, "catch", 120, 40)
    try:
        terminal.until("Hoops night")
        walk(terminal, "d e l l enter")
        terminal.until("somebody without a handle")
        assert not (leaks := terminal.leaks()), "\n".join(leaks)
        terminal.press("f9")
        terminal.until("Go off air?")
        walk(terminal, "down enter")
        terminal.until("OFF AIR")
        terminal.until("Silas Quietwater")
        assert [leak.split(":")[0] for leak in terminal.leaks()] == ["Quietwater"]
    finally:
        terminal.close()
