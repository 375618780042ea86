"""A person at the screen in a pseudo-terminal, who is cut off in the middle of it."""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import termios
import time
from pathlib import Path

import pyte

COLUMNS, ROWS = 120, 60
_OUR_OWN_FORMS = re.compile(rb"\x1b\[[<>=?][0-9;]*[a-zA-Z]")


class Person:
    """Presses keys and reads what stands on the screen."""

    def __init__(self, desk: Path) -> None:
        self._screen = pyte.Screen(COLUMNS, ROWS)
        self._stream = pyte.ByteStream(self._screen)
        self._handle, end = pty.openpty()
        fcntl.ioctl(end, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        self.process = subprocess.Popen(
            [sys.executable, "-m", "breakdesk", "--desk", str(desk)],
            stdin=end,
            stdout=end,
            stderr=end,
            start_new_session=True,
            env={**os.environ, "TERM": "xterm-256color"},
        )
        os.close(end)

    def press(self, keys: str) -> None:
        """Types keys."""
        os.write(self._handle, keys.encode())

    def look(self, seconds: float) -> str:
        """Reads for some time; returns what stands on the screen then."""
        end = time.monotonic() + seconds
        while (left := end - time.monotonic()) > 0:
            self._read(left)
        return self.shown

    def sees(self, words: str, *, without: str = "\0", seconds: float = 20.0) -> bool:
        """Whether words come to stand on the screen, and others not, within some time."""
        end = time.monotonic() + seconds
        while words not in self.shown or without in self.shown:
            if time.monotonic() > end:
                return False
            self._read(0.05)
        return True

    @property
    def shown(self) -> str:
        """The screen as text."""
        return "\n".join(self._screen.display)

    def kill(self) -> None:
        """Ends the program as a power cut of its process would; what it had written already is still read."""
        self.process.kill()
        self.process.wait()
        self._read(0.0)
        os.close(self._handle)

    def _read(self, seconds: float) -> None:
        if select.select([self._handle], [], [], min(max(seconds, 0.0), 0.05))[0]:
            with contextlib.suppress(OSError):
                self._stream.feed(_OUR_OWN_FORMS.sub(b"", os.read(self._handle, 65536)))
