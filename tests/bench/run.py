"""Runs the benchmarks and writes their table into docs/speed.md: `python tests/bench/run.py [--folder FOLDER]`.

Takes some minutes. Desks are made once and kept in the folder. Every figure is a ratio within one run, or stands
beside the barest equivalent of the same run: single figures from a shared machine mean little. Linux and macOS only,
because programs are timed through a pseudo-terminal.
"""

from __future__ import annotations

import argparse
import os
import platform
import sqlite3
import sys
import tempfile
from collections.abc import Callable, Iterator
from datetime import datetime
from importlib.metadata import version
from pathlib import Path

import commands
import load
import screens
from desks import desk_of, start_break
from table import Row

SIZES = (100, 1_000, 100_000)
PAGE = Path(__file__).parents[2] / "docs" / "speed.md"
BEGIN, END = "<!-- The table: written by tests/bench/run.py. -->", "<!-- End of the table. -->"


def machine() -> str:
    """What the figures were measured on, in a sentence."""
    load_average = os.getloadavg()[0]
    return (
        f"{platform.system()} {platform.machine()}, {os.cpu_count()} processors, Python {platform.python_version()}, "
        f"SQLite {sqlite3.sqlite_version}, Textual {version('textual')}, peewee {version('peewee')}; measured on "
        f"{datetime.now().astimezone():%d %B %Y}, load average {load_average:.1f} at the end."
    )


def rows_of(folder: Path, parts: set[str]) -> Iterator[Row]:
    """Every row, measured in turn."""
    desks = {size: desk_of(folder, size) for size in SIZES}
    for path in desks.values():
        start_break(path)
    large = desks[SIZES[-1]]
    measured: dict[str, Callable[[], list[Row]]] = {
        "start": lambda: screens.starts(desks),
        "commands": lambda: commands.commands(large),
        "keys": lambda: screens.echoes(large),
        "changes": lambda: screens.changes(large)[0],
        "saving": lambda: commands.saving({size: desks[size] for size in SIZES[1:]}),
        "today": lambda: [commands.todays_lists(large)],
        "memory": lambda: screens.memory(desks),
        "load": lambda: load.loading(folder / "load", SIZES[-1]),
    }
    try:
        for name, measure in measured.items():
            if not parts or name in parts:
                for row in _tried(name, measure):
                    sys.stdout.write(f"{row.written()}\n")
                    sys.stdout.flush()
                    yield row
    finally:
        commands.forget_marks(large)


def _tried(name: str, measure: Callable[[], list[Row]]) -> list[Row]:
    """The rows of a part; one that says so where it could not be measured, so that the others still can."""
    try:
        return measure()
    except (AssertionError, OSError, TimeoutError, ValueError, sqlite3.Error) as error:
        return [Row(name, "", f"could not be measured: {type(error).__name__}", None)]


def write_page(rows: list[Row]) -> None:
    """Put the table into the page in place of the last one."""
    head = "| what | goal | measured | reached |\n| --- | --- | --- | --- |"
    table = "\n".join([head, *(row.written() for row in rows)])
    text = PAGE.read_text(encoding="utf-8")
    before, _, rest = text.partition(BEGIN)
    _, _, after = rest.partition(END)
    PAGE.write_text(f"{before}{BEGIN}\n\n{machine()}\n\n{table}\n\n{END}{after}", encoding="utf-8")


def main() -> None:
    """Read the command line, measure, and write the page where everything was measured."""
    parser = argparse.ArgumentParser(description="Measure Breakdesk and write docs/speed.md.")
    parser.add_argument("--folder", type=Path, default=Path(tempfile.gettempdir()) / "breakdesk-bench")
    parser.add_argument("parts", nargs="*", help="Measure these parts only, and print instead of writing the page.")
    given = parser.parse_args()
    rows = list(rows_of(given.folder, set(given.parts)))
    if not given.parts:
        write_page(rows)


if __name__ == "__main__":
    main()
