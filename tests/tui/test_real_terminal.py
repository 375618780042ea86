"""What reaches a real terminal: no secret on air, and no colour where none is wanted."""

from __future__ import annotations

import os
import re
import select
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pyte
import pytest

if sys.platform == "win32":
    pytest.skip("needs a pseudo-terminal", allow_module_level=True)

import fcntl
import pty
import struct
import termios

APPS = Path(__file__).parent / "apps"
COLUMNS, ROWS = 90, 30
SECRETS = ("AB12", "CD34", "Ada Marsh", "555 0100")


class Terminal:
    """A program in a pseudo-terminal, and every screen that a person saw of it."""

    def __init__(self, script: Path, **environment: str) -> None:
        self.screen = pyte.Screen(COLUMNS, ROWS)
        self.stream = pyte.ByteStream(self.screen)
        self.written = b""
        self.seen: list[str] = []
        self.handle, program_end = pty.openpty()
        fcntl.ioctl(program_end, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        self.process = subprocess.Popen(
            [sys.executable, str(script)],
            stdin=program_end,
            stdout=program_end,
            stderr=program_end,
            start_new_session=True,
            env={**os.environ, "TERM": "xterm-256color", "COLORTERM": "truecolor", **environment},
        )
        os.close(program_end)

    def read_until(self, words: str, *, without: str = "\0", seconds: float = 10.0) -> None:
        """Read until words stand on the screen and others do not; a blinking cursor never falls silent."""
        end = time.monotonic() + seconds
        while words not in (shown := "\n".join(self.screen.display)) or without in shown:
            assert time.monotonic() < end, f"never seen: {words}\n" + "\n".join(self.screen.display)
            if select.select([self.handle], [], [], 0.1)[0]:
                data = os.read(self.handle, 65536)
                self.written += data
                # The emulator does not know this private form and would print its tail.
                self.stream.feed(re.sub(rb"\x1b\[[<>=?][0-9;]*[a-zA-Z]", b"", data))
                self.seen.append("\n".join(self.screen.display))

    def press(self, keys: str) -> None:
        """Type keys."""
        os.write(self.handle, keys.encode())

    def close(self) -> None:
        """End the program."""
        self.process.kill()
        self.process.wait()
        os.close(self.handle)


@pytest.fixture
def terminal(request: pytest.FixtureRequest) -> Iterator[Terminal]:
    name, environment = request.param
    running = Terminal(APPS / name, **environment)
    yield running
    running.close()


@pytest.mark.parametrize("terminal", [("asking.py", {})], indirect=True)
def test_on_air_no_secret_reaches_the_terminal(terminal: Terminal) -> None:
    terminal.read_until("hidden on air")
    for key, words in (("p", "Who owns it?"), ("t", "As it stands"), ("r", "Story of K5A1")):
        terminal.press(key)
        terminal.read_until(words)
        terminal.read_until("Esc Close", without="s Sure")
        terminal.press("y")
        terminal.press("\x1b")
        terminal.read_until("s Sure", without="Esc Close")
    for secret in SECRETS:
        assert all(secret not in screen for screen in terminal.seen), secret
        assert secret.encode() not in terminal.written
    assert b"\x1b]52;" not in terminal.written
    assert "Breakdesk – on air".encode() in terminal.written
    terminal.press("\x1b[20~")
    terminal.read_until("Go off air?")
    terminal.press("\x1b[B\r")
    terminal.read_until("AB12-CD34")


@pytest.mark.parametrize("terminal", [("listing.py", {"NO_COLOR": "1"})], indirect=True)
def test_without_colour_no_colour_is_sent(terminal: Terminal) -> None:
    terminal.read_until("K00003")
    terminal.press("\x1b[B")
    terminal.read_until("▸ K00001")
    codes = {code for codes in re.findall(rb"\x1b\[([0-9;]*)m", terminal.written) for code in codes.split(b";")}
    assert codes <= {b"", b"0", b"1", b"4", b"7", b"39", b"49"}
    assert b"7" in codes
