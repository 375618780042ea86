"""Loading every claim of a large desk from CSV, beside the barest insert of the same rows; and who waits meanwhile."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path

from table import Row
from world import Size, write_world

from breakdesk.desk import breaks, entering
from breakdesk.desk.desk import open_desk
from breakdesk.desk.loading import load_files
from breakdesk.desk.problems import Done
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.rules.ownership import Owner

ENTRY_EVERY_SECONDS = 0.05


def loading(folder: Path, claims: int) -> list[Row]:
    """Load into a desk that knows everything but the claims, while another program writes claims down."""
    shutil.rmtree(folder, ignore_errors=True)
    *before, all_claims = write_world(folder / "world", Size(claims=claims))
    path = folder / "desk.db"
    desk = open_desk(path, create=True)
    load_files(desk, before)
    breaks.start_break(desk, breaks.list_breaks()[0].id)
    known = _row_counts(path)
    writer = subprocess.Popen([sys.executable, __file__, str(path)], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    assert writer.stdin is not None
    assert writer.stdout is not None
    writer.stdout.readline()
    phases: dict[str, float] = {}

    def tell(doing: str, _done: int, _total: int) -> bool:
        phases.setdefault(doing, time.perf_counter())
        return True

    began = time.perf_counter()
    found = load_files(desk, [all_claims], progress=tell)
    ended = time.perf_counter()
    waits = [float(word) for word in writer.communicate(b"\n")[0].split()]
    desk.close()
    assert found.saved, found
    # Another program wrote meanwhile, so the plan was made twice: a second load without one tells what a load costs.
    alone = _alone(folder, before, all_claims)
    bare = _bare(path, folder / "bare.db", known)
    moments = [*phases.values(), ended]
    told = ", ".join(f"{name} {moments[number + 1] - moments[number]:.1f} s" for number, name in enumerate(phases))
    measured = f"{alone / bare:.2f} times ({alone:.1f} s against {bare:.1f} s)"
    refused = sum(wait < 0 for wait in waits)
    longest = max(map(abs, waits))
    given_up = f", {refused} given up after waiting" if refused else ""
    waited = f"longest {longest:,.0f} ms of {len(waits)} entries{given_up}, during {ended - began:.1f} s ({told})"
    return [
        Row(f"loading {claims:,} claims from CSV", "at most 6 times", measured, alone / bare <= 6),
        Row("live entry of another program during the load", "never over 50 ms", waited, longest <= 50),
    ]


def _alone(folder: Path, before: list[Path], all_claims: Path) -> float:
    desk = open_desk(folder / "alone.db", create=True)
    load_files(desk, before)
    began = time.perf_counter()
    found = load_files(desk, [all_claims])
    seconds = time.perf_counter() - began
    desk.close()
    assert found.saved, found
    return seconds


def _row_counts(path: Path) -> dict[str, int]:
    with closing(sqlite3.connect(path)) as connection:
        names = [row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {
            name: connection.execute(f'SELECT coalesce(max(rowid), 0) FROM "{name}"').fetchone()[0] for name in names
        }


def _bare(path: Path, target: Path, known: dict[str, int]) -> float:
    """Seconds for executemany of the rows that the load wrote, into the same tables with the same indexes."""
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(target)) as copy:
        copy.execute("PRAGMA journal_mode = wal").fetchone()
        copy.execute("PRAGMA synchronous = full")
        kinds = "SELECT sql FROM sqlite_master WHERE sql IS NOT NULL AND name NOT LIKE 'sqlite_%' ORDER BY type DESC"
        for (sql,) in source.execute(kinds):
            copy.execute(sql)
        written = {
            name: source.execute(f'SELECT * FROM "{name}" WHERE rowid > ?', (last,)).fetchall()
            for name, last in known.items()
            if not name.startswith("sqlite_")
        }
        began = time.perf_counter()
        with copy:
            for name, rows in written.items():
                if rows:
                    marks = ", ".join("?" for _ in rows[0])
                    copy.executemany(f'INSERT OR REPLACE INTO "{name}" VALUES ({marks})', rows)
        return time.perf_counter() - began


def write_claims_down(path: Path) -> None:
    """Another program: writes a claim down again and again until it is told to stop, then prints each one's time."""
    desk = open_desk(path)
    running = next(line for line in breaks.list_breaks() if line.running)
    times: list[float] = []
    reading = Reading(subjects=Field(("Somebody Drawn",)))
    request = entering.Pull(break_id=running.id, reading=reading, owner=Owner.house())
    assert isinstance(entering.pull(desk, request), Done)
    sys.stdout.write("ready\n")
    sys.stdout.flush()
    from select import select

    while not select([sys.stdin], [], [], ENTRY_EVERY_SECONDS)[0]:
        began = time.perf_counter()
        done = entering.pull(desk, request)
        taken = 1000 * (time.perf_counter() - began)
        # An entry that was refused because the desk was held all the time counts as a wait below zero.
        times.append(taken if isinstance(done, Done) else -taken)
    desk.close()
    sys.stdout.write(" ".join(f"{each:.2f}" for each in times))


if __name__ == "__main__":
    write_claims_down(Path(sys.argv[1]))
