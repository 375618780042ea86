"""Is a letter in the entry line echoed as fast as in a bare field, and is its reading on the screen at once? Reports.

Run `python tests/bench/entry_latency.py [--claims 100000] [--rounds 15]`. A checklist of 2,000 cards, a break of 60
spots, 5,000 participants: invented. Both programs run in a pseudo-terminal, turn about in one run, because single
figures from a shared machine mean little. Then claims are saved, each durably, and timed.
"""

from __future__ import annotations

import argparse
import json
import os
import pty
import re
import select
import signal
import struct
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from fcntl import ioctl
from pathlib import Path
from statistics import median, quantiles
from termios import TIOCSWINSZ

from world import Size, write_world

PRIVATE = re.compile(rb"\x1b\[[0-9;?<>=]*[a-zA-Z]")
ROWS, COLUMNS = 40, 120
TYPED = "dorg gold au"
DELETE = "\x7f"
SETTLED_SECONDS = 20.0
"""After so long the first backup of a session is over."""
BARE = """
from textual.app import App
from textual.widgets import Input
class Bare(App):
    def compose(self):
        yield Input(placeholder="ready")
Bare().run()
"""
DESK = """
import sys
from pathlib import Path
from breakdesk.tui.app import Breakdesk, run_screen
Breakdesk.START = "catch"
run_screen(Path(sys.argv[1]))
"""


class Program:
    """A program in a pseudo-terminal."""

    def __init__(self, code: str, *given: str) -> None:
        self.pid, self.handle = pty.fork()
        if self.pid == 0:
            os.environ.update(TERM="xterm-256color", COLORTERM="truecolor", BREAKDESK_CONFIG="no-such-settings.toml")
            os.execv(sys.executable, [sys.executable, "-c", code, *given])
        ioctl(self.handle, TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        os.kill(self.pid, signal.SIGWINCH)

    def read(self, quiet: float, limit: float = 60.0, wanted: bytes | None = None) -> list[tuple[float, bytes]]:
        """What is written until it has been quiet, or until something wanted came, with the instants."""
        parts: list[tuple[float, bytes]] = []
        end = time.perf_counter() + limit
        while time.perf_counter() < end and select.select([self.handle], [], [], quiet)[0]:
            parts.append((time.perf_counter(), os.read(self.handle, 65536)))
            if wanted and wanted in PRIVATE.sub(b"", b"".join(part for _, part in parts)):
                break
        return parts

    def press(self, key: str) -> tuple[float, float]:
        """Milliseconds until the first byte of the answer, and until the last of what a key changed."""
        self.read(0.03, 0.2)
        sent = time.perf_counter()
        os.write(self.handle, key.encode())
        # The cursor blinks every half second: what comes later than this is no answer to the key.
        parts = self.read(0.06, 0.2)
        if not parts:
            return 200.0, 200.0
        return (parts[0][0] - sent) * 1000, (parts[-1][0] - sent) * 1000

    def processor(self) -> float:
        """Milliseconds of the processor that its threads took until now; 0 where the system does not say."""
        took = (path.read_text().split()[0] for path in Path("/proc").glob(f"{self.pid}/task/*/schedstat"))
        return sum(map(int, took)) / 1e6

    def close(self) -> None:
        """End it."""
        os.kill(self.pid, signal.SIGKILL)
        os.waitpid(self.pid, 0)
        os.close(self.handle)


@contextmanager
def running(code: str, ready: str, *given: str) -> Iterator[Program]:
    """A program that has shown that it is ready."""
    program = Program(code, *given)
    program.read(30.0, 60.0, ready.encode())
    program.read(1.0, 3.0)
    yield program
    program.close()


def make_desk(folder: Path, claims: int) -> Path:
    """A desk of the wanted size with one break by team running."""
    from breakdesk.desk.breaks import list_breaks, start_break
    from breakdesk.desk.desk import open_desk
    from breakdesk.desk.loading import load_files

    path = folder / "desk.db"
    size = Size(claims=claims, participants=5_000, products=6, breaks=max(20, claims // 500))
    desk = open_desk(path, create=True)
    report = load_files(desk, write_world(folder / "files", size))
    assert report.saved, list(report.errors)[:3]
    start_break(desk, next(line.id for line in list_breaks(50) if line.format == "team"))
    desk.close()
    return path


def typing(program: Program, rounds: int) -> tuple[list[float], list[float]]:
    """Times of typing a line and deleting it again, letter by letter."""
    times = [program.press(key) for _ in range(rounds) for key in [*TYPED, *(DELETE for _ in TYPED)]]
    return [first for first, _ in times], [last for _, last in times]


def saving(path: Path, count: int) -> list[float]:
    """Milliseconds of saving a claim durably."""
    from breakdesk.desk.breaks import list_breaks
    from breakdesk.desk.desk import open_desk
    from breakdesk.desk.entering import Pull, open_table, pull, read_line
    from breakdesk.desk.problems import Done
    from breakdesk.rules.entry import Kept

    desk = open_desk(path)
    break_id = next(line.id for line in list_breaks(5) if line.running)
    table = open_table(desk, break_id)
    subjects = [card.subjects[0] for card in table.lexicon.candidates if card.subjects]
    taken = []
    for subject in subjects[:: max(1, len(subjects) // count)][:count]:
        reading = read_line(table, subject, Kept(), desk.clock.as_of()).best
        began = time.perf_counter()
        result = pull(desk, Pull(break_id=break_id, reading=reading))
        taken.append((time.perf_counter() - began) * 1000)
        assert isinstance(result, Done), result
    desk.close()
    return taken


def figures(times: list[float]) -> dict[str, float]:
    """Median and 95th percentile."""
    return {"median": round(median(times), 2), "p95": round(quantiles(times, n=20)[18], 2)}


def main() -> None:
    """Print one line of JSON."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--claims", type=int, default=20_000)
    parser.add_argument("--rounds", type=int, default=15)
    parser.add_argument("--desk", type=Path, help="a desk made before, with a running break")
    given = parser.parse_args()
    with tempfile.TemporaryDirectory() as name:
        path = given.desk or make_desk(Path(name), given.claims)
        bare: list[float] = []
        echo: list[float] = []
        reading: list[float] = []
        with running(BARE, "ready") as plain, running(DESK, "Ctrl+T", str(path)) as desk:
            time.sleep(SETTLED_SECONDS)
            worked = [-plain.processor(), -desk.processor()]
            for _ in range(given.rounds):
                bare += typing(plain, 1)[0]
                first, last = typing(desk, 1)
                echo += first
                reading += last
            worked = [
                round((one + more) / len(echo), 2)
                for one, more in zip(worked, (plain.processor(), desk.processor()), strict=True)
            ]
        saved = saving(path, 60)
    report: dict[str, dict[str, float]] = {
        "bare_ms": figures(bare),
        "echo_ms": figures(echo),
        "reading_ms": figures(reading),
        "save_ms": figures(saved),
        "processor_ms_a_key": dict(zip(("bare", "ours"), worked, strict=True)),
    }
    report["echo_against_bare"] = {
        name: round(report["echo_ms"][name] / report["bare_ms"][name], 2) for name in ("median", "p95")
    }
    sys.stdout.write(json.dumps(report) + "\n")


if __name__ == "__main__":
    main()
