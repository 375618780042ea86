"""The command line's two commonest questions, saving one claim, and today's lists, beside the barest equivalents."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

from screens import growth_row
from table import Row, median, milliseconds, p95, ratio_row

from breakdesk.desk import breaks, entering
from breakdesk.desk.answering import person_view
from breakdesk.desk.desk import open_desk
from breakdesk.desk.listing import owed_rows
from breakdesk.desk.problems import Done
from breakdesk.desk.viewing import today
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.rules.ownership import Owner
from breakdesk.store.claims import COLUMNS
from breakdesk.store.models import StrictSqlite

ROUNDS, SAVES = 5, 60
_BARE = """
import sys; sys.modules["psycopg"] = sys.modules["psycopg2"] = None
import peewee, pendulum, sqlite3
sqlite3.connect(sys.argv[1]).execute(sys.argv[2], sys.argv[3:]).fetchall()
"""


def _seconds(command: Sequence[str], more: Mapping[str, str]) -> float:
    began = time.perf_counter()
    subprocess.run(command, env={**os.environ, **more}, stdout=subprocess.DEVNULL, check=True)
    return 1000 * (time.perf_counter() - began)


def commands(path: Path) -> list[Row]:
    """`today` and `owed WHO`, beside a bare Python that reads the same columns of the same rows."""
    desk = open_desk(path)
    lists = today(desk).today
    listed = {item.claim.id for item in lists.submit}
    listed |= {item.claim.id for maker in lists.ask for item in maker.claims}
    listed |= {item.claim.id for person in lists.tell for item in person.items}
    listed |= {claim.id for person in lists.ship for claim in person.claims}
    listed |= {item.claim.id for item in lists.decide if item.claim is not None}
    person = owed_rows(desk, 0, 1)[0]
    desk.close()
    names = ", ".join(COLUMNS)
    _mark(path, listed)
    questions = {
        "today": (("today",), f"SELECT {names} FROM claim JOIN bench_listed USING (id)", ()),
        "owed WHO": (
            ("owed", person.name),
            f"SELECT {names} FROM claim WHERE owner_id = ? AND state NOT IN ('closed', 'void')",
            (str(person.person_id),),
        ),
    }
    rows = []
    for name, (arguments, sql, values) in questions.items():
        ours, theirs = [], []
        for _ in range(ROUNDS):
            theirs.append(_seconds([sys.executable, "-c", _BARE, str(path), sql, *values], {}))
            ours.append(_seconds([sys.executable, "-m", "breakdesk", *arguments], {"BREAKDESK_DESK": str(path)}))
        note = f"; it prints {len(listed):,} claims" if name == "today" else ""
        rows.append(ratio_row(f"command line: {name}, 100,000 claims", 1.5, ours, theirs, note))
    return rows


def _mark(path: Path, listed: set[int]) -> None:
    connection = sqlite3.connect(path)
    with connection:
        connection.execute("CREATE TABLE IF NOT EXISTS bench_listed (id INTEGER PRIMARY KEY)")
        connection.execute("DELETE FROM bench_listed")
        connection.executemany("INSERT INTO bench_listed VALUES (?)", ((key,) for key in listed))
    connection.close()


def forget_marks(path: Path) -> None:
    """Takes the table of a benchmark out of the desk again."""
    connection = sqlite3.connect(path)
    connection.execute("DROP TABLE IF EXISTS bench_listed")
    connection.close()


def todays_lists(path: Path) -> Row:
    """The five lists, beside a scan that reads the same columns of the claims that the lists look at."""
    desk = open_desk(path)
    looked_at: list[tuple[str, object]] = []
    execute = StrictSqlite.execute_sql

    def hear(self: StrictSqlite, sql: str, params: object = None, *more: object) -> object:
        looked_at.append((sql, params or ()))
        return execute(self, sql, params, *more)  # type: ignore[no-untyped-call]

    StrictSqlite.execute_sql = hear  # type: ignore[method-assign]
    today(desk)
    StrictSqlite.execute_sql = execute  # type: ignore[method-assign]
    scans = [item for item in looked_at if item[0].startswith("SELECT claim.")]
    connection = desk.database.connection()  # type: ignore[no-untyped-call]

    def scan() -> int:
        return sum(len(connection.execute(sql, values).fetchall()) for sql, values in scans)

    count = scan()
    theirs = milliseconds(scan, ROUNDS)
    ours = milliseconds(lambda: today(desk), ROUNDS)
    desk.close()
    return ratio_row("today's five lists, 100,000 claims", 3, ours, theirs, f"; {count:,} claims looked at")


def saving(desks: Mapping[int, Path]) -> list[Row]:
    """One claim written down, durable, beside one durable insert; and how both a save and a view grow."""
    saves = {size: _saves(path) for size, path in desks.items()}
    inserts = _inserts(desks[100_000].with_name("bare-inserts.db"))
    row = ratio_row("saving an entry, 100,000 claims", 3, saves[100_000], inserts)
    if median(inserts) < 1:
        middle = median(saves[100_000])
        measured = (
            f"{middle:.1f} ms (one insert {median(inserts):.2f} ms), 95 in 100 within {p95(saves[100_000]):.1f} ms"
        )
        row = Row(row.what, "under 3 ms", measured, middle < 3)
    return [row, growth_row("saving one entry", saves), growth_row("one participant's view", _views(desks))]


def _saves(path: Path) -> list[float]:
    desk = open_desk(path)
    running = next(line for line in breaks.list_breaks() if line.running)
    person = owed_rows(desk, 20, 1)[0].person_id

    def save() -> None:
        reading = Reading(subjects=Field(("Somebody Drawn",)))
        done = entering.pull(desk, entering.Pull(break_id=running.id, reading=reading, owner=Owner.person(person)))
        assert isinstance(done, Done), done

    milliseconds(save, 5)
    times = milliseconds(save, SAVES)
    desk.close()
    return times


def _inserts(path: Path) -> list[float]:
    path.unlink(missing_ok=True)
    connection = sqlite3.connect(path)
    connection.execute("PRAGMA journal_mode = wal").fetchone()
    connection.execute("PRAGMA synchronous = full")
    connection.execute("CREATE TABLE thing (id INTEGER PRIMARY KEY, text TEXT)")

    def insert() -> None:
        with connection:
            connection.execute("INSERT INTO thing (text) VALUES ('something as long as a short line of a claim')")

    milliseconds(insert, 5)
    times = milliseconds(insert, SAVES)
    connection.close()
    return times


def _views(desks: Mapping[int, Path]) -> dict[int, list[float]]:
    """A participant with as many claims in either desk: what grows is the desk, not the participant."""
    times = {}
    for size, path in desks.items():
        desk = open_desk(path)
        rows = [row for offset in range(0, 640, 64) for row in owed_rows(desk, offset, 64)]
        person = min(rows, key=lambda row: (row.claims, row.person_id)).person_id
        milliseconds(lambda key=person, at=desk: person_view(at, key), 3)  # type: ignore[misc]
        times[size] = milliseconds(lambda key=person, at=desk: person_view(at, key), 25)  # type: ignore[misc]
        desk.close()
    return times
