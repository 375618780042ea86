"""Desks of any size for the benchmarks: written, loaded and kept in a folder, one for each size and day.

The world counts from today, so that a program that is measured from outside finds what a house finds on any morning.
"""

from __future__ import annotations

import sys
import time
from datetime import date
from pathlib import Path

from world import Size, write_world

from breakdesk.desk import breaks
from breakdesk.desk.desk import open_desk
from breakdesk.desk.loading import load_files


def desk_of(folder: Path, claims: int, anchor: date | None = None) -> Path:
    """The file of a desk with so many claims, made where there is none. Raises RuntimeError where a load fails."""
    anchor = anchor or date.today()  # noqa: DTZ011 - the day of this machine is the one that the program reads
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"desk-{claims}-{anchor}.db"
    if path.exists():
        return path
    files = write_world(folder / f"world-{claims}-{anchor}", Size(claims=claims, anchor=anchor))
    unfinished = path.with_name(f"unfinished-{path.name}")
    for left in folder.glob(f"{unfinished.name}*"):
        left.unlink()
    started = time.perf_counter()
    desk = open_desk(unfinished, create=True)
    try:
        found = load_files(desk, files)
    finally:
        desk.close()
    if not found.saved:
        raise RuntimeError(found.said)
    sys.stderr.write(f"{found.said} {time.perf_counter() - started:.1f} s\n")
    unfinished.with_name(f"{unfinished.name}.key").rename(path.with_name(f"{path.name}.key"))
    unfinished.rename(path)
    return path


def start_break(path: Path) -> str:
    """Lets the latest break by teams run, where none runs yet, so that claims can be caught; returns its name."""
    desk = open_desk(path)
    try:
        lines = breaks.list_breaks()
        line = next((line for line in lines if line.running), None)
        if line is None:
            line = next(line for line in lines if line.format == "team")
            breaks.start_break(desk, line.id)
        return line.name
    finally:
        desk.close()
