"""Runs a program in a pseudo-terminal and times it from outside, as the person in front of it feels it.

Linux and macOS only. A time is from writing a key to reading what the program writes back; what it writes is looked at
without its escape sequences, which is enough for words that a program draws in one piece.
"""

from __future__ import annotations

import contextlib
import fcntl
import os
import pty
import re
import select
import signal
import struct
import termios
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType

KEYS = {
    "enter": "\r",
    "escape": "\x1b",
    "backspace": "\x7f",
    "up": "\x1b[A",
    "down": "\x1b[B",
    "home": "\x1b[H",
    "end": "\x1b[F",
    "page down": "\x1b[6~",
    "page up": "\x1b[5~",
    "f2": "\x1bOQ",
    "f3": "\x1bOR",
    "f4": "\x1bOS",
    "f5": "\x1b[15~",
    "f6": "\x1b[17~",
    "f7": "\x1b[18~",
}
_SEQUENCE = re.compile(rb"\x1b\[[0-9;?<>=$]*[ -/]*[@-~]|\x1b[P\]].*?(?:\x1b\\|\x07)|\x1b.", re.DOTALL)
COLUMNS, LINES = 120, 40
PATIENCE_SECONDS = 60.0
QUIET_SECONDS = 0.06
"""A picture is finished when nothing came for so long; a cursor that blinks comes every half second."""


@dataclass(frozen=True, slots=True)
class Answer:
    """What came after a key, in milliseconds: the first byte, the last one before it was quiet; None where nothing."""

    first: float | None
    last: float | None


class Terminal:
    """A program in a terminal of its own, ended with the block in which it is used."""

    def __init__(self, command: Sequence[str], more: Mapping[str, str] | None = None) -> None:
        """Start the program with some more of an environment."""
        self.started = time.perf_counter()
        self.pid, self._terminal = pty.fork()
        if self.pid == 0:
            os.environ.update({"TERM": "xterm-256color", "COLORTERM": "truecolor", **(more or {})})
            os.execvp(command[0], list(command))
        fcntl.ioctl(self._terminal, termios.TIOCSWINSZ, struct.pack("HHHH", LINES, COLUMNS, 0, 0))
        os.kill(self.pid, signal.SIGWINCH)

    def __enter__(self) -> Terminal:
        """Give itself."""
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        """End the program and wait until it is gone."""
        with contextlib.suppress(ProcessLookupError):
            os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self._terminal)

    def wait_for(self, words: str, since: float | None = None) -> float:
        """Milliseconds from a moment, or from the start, until words stand on the screen. Raises TimeoutError."""
        since = self.started if since is None else since
        wanted, came, end = words.encode(), b"", time.perf_counter() + PATIENCE_SECONDS
        while time.perf_counter() < end:
            came += self._read(0.1)
            if wanted in _SEQUENCE.sub(b"", came):
                return 1000 * (time.perf_counter() - since)
        raise TimeoutError(f"{words!r} never came; the end of what did: {_SEQUENCE.sub(b'', came)[-300:]!r}")

    def press(self, key: str) -> Answer:
        """Press a key and wait until all is quiet again."""
        sent = self._send(key)
        first = last = None
        while select.select([self._terminal], [], [], QUIET_SECONDS if first is not None else 1.0)[0]:
            if not self._read(0):
                break
            last = 1000 * (time.perf_counter() - sent)
            first = last if first is None else first
        return Answer(first, last)

    def press_until(self, key: str, words: str) -> float:
        """Milliseconds from a key until words stand on the screen that were not asked for before."""
        return self.wait_for(words, self._send(key))

    def settle(self, seconds: float = 0.3) -> None:
        """Read until nothing came for so long, or for a cursor's blink longer."""
        end = time.perf_counter() + 2
        while time.perf_counter() < end and select.select([self._terminal], [], [], seconds)[0]:
            if not self._read(0):
                return

    def memory(self) -> float | None:
        """Megabytes of the program that are in memory now; None where the system does not say."""
        status = Path(f"/proc/{self.pid}/status")
        if not status.exists():
            return None
        found = re.search(r"VmRSS:\s+(\d+) kB", status.read_text())
        return int(found[1]) / 1024 if found else None

    def _send(self, key: str) -> float:
        while self._read(0):
            pass
        sent = time.perf_counter()
        os.write(self._terminal, KEYS.get(key, key).encode())
        return sent

    def _read(self, seconds: float) -> bytes:
        if not select.select([self._terminal], [], [], seconds)[0]:
            return b""
        try:
            return os.read(self._terminal, 1 << 16)
        except OSError:
            return b""
