"""Today's lists, one claim's clocks and the outlook of a large desk, beside a plain SQL scan of the same rows.

Run: python tests/bench/clocks.py [--claims 100000] [--desk PATH]. Without a desk it writes a world and loads it first;
a desk named that is not there yet is made and kept for the next run.
"""

from __future__ import annotations

import argparse
import gc
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

from world import Size, write_world

from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.loading import load_files
from breakdesk.desk.outlook import outlook
from breakdesk.desk.viewing import today
from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.decide import decide_from
from breakdesk.store.claims import read_claims
from breakdesk.store.engine import run
from breakdesk.store.parties import read_parties

NOW = datetime(2026, 6, 15, 18, 0, tzinfo=UTC)
ROUNDS = 5
_SHOWN = "state IN ('pulled', 'submitted', 'offered', 'in_hand', 'shipped', 'refused')"


def best_of(title: str, measured: Callable[[], object], limit: float | None = None) -> float:
    """The best of some runs in seconds, printed with the processor's time of that run; the best has the least noise."""
    best = (float("inf"), 0.0)
    for _ in range(ROUNDS):
        gc.collect()
        wall, processor = time.perf_counter(), time.process_time()
        result = measured()
        best = min(best, (time.perf_counter() - wall, time.process_time() - processor))
        del result
    aim = "" if limit is None else f"   aim {limit:g} s"
    print(f"{title:<58}{best[0]:>8.3f} s{best[1]:>8.3f} s of processor{aim}")
    return best[0]


def one_claims_clocks(claims: list[Claim], parties: Parties) -> None:
    """Every clock of each claim, as an action computes them for the one that it changed."""
    house = parties.house
    for claim in claims:
        maker = parties.maker_of(claim)
        clocks.submit_by(claim, house, maker)
        clocks.is_expired(claim, maker, NOW)
        clocks.ask_from(claim, maker)
        clocks.no_reply_from(claim, house, maker)
        if claim.owner_id is not None:
            clocks.reminder(claim, parties.people[claim.owner_id], house)
        for news in claim.news:
            clocks.news_due(news, house)
        decide_from(claim, parties)


def measure(desk: Desk) -> None:
    """Print the table."""
    database = desk.database
    total, waiting = run(database, "SELECT count(*), sum(state = 'submitted') FROM claim").fetchone()
    view = today(desk).today
    asked = sum(len(maker.claims) for maker in view.ask)
    print(f"{total:,} claims, {waiting:,} with makers")
    print(
        f"in the lists: submit {len(view.submit):,}, ask {asked:,}, tell {len(view.tell):,}, ship {len(view.ship):,}, "
        f"decide {len(view.decide):,}"
    )
    del view
    best_of(
        "plain SQL scan of the open claims", lambda: run(database, f"SELECT * FROM claim WHERE {_SHOWN}").fetchall()
    )
    best_of("plain SQL scan of all claims", lambda: run(database, "SELECT * FROM claim").fetchall())
    best_of("today's five lists", lambda: today(desk), 1.0)
    best_of("outlook of all makers", lambda: outlook(desk), 0.5)
    claims = list(read_claims(database, "claim.id % 10 = 0"))
    parties = read_parties(database)
    seconds = best_of(f"all clocks of {len(claims):,} claims", lambda: one_claims_clocks(claims, parties))
    print(f"one claim's clocks: {1e6 * seconds / len(claims):.1f} microseconds   aim 50 microseconds")


def loaded(path: Path, count: int) -> Desk:
    """A desk with an invented world of so many claims."""
    is_new = not path.exists()
    desk = open_desk(path, Clock(tell=lambda: NOW), create=is_new)
    if is_new:
        with tempfile.TemporaryDirectory() as folder:
            files = write_world(Path(folder), Size(claims=count, anchor=date(2026, 6, 15)))
            started = time.perf_counter()
            found = load_files(desk, files)
            print(f"{found.said} {time.perf_counter() - started:.1f} s")
    return desk


def main() -> None:
    """Read the command line and measure."""
    parser = argparse.ArgumentParser(description="Measure today's lists, the clocks and the outlook.")
    parser.add_argument("--claims", type=int, default=100_000)
    parser.add_argument("--desk", type=Path)
    given = parser.parse_args()
    if given.desk is not None:
        measure(loaded(given.desk, given.claims))
        return
    with tempfile.TemporaryDirectory() as folder:
        desk = loaded(Path(folder) / "desk.db", given.claims)
        measure(desk)
        desk.close()


if __name__ == "__main__":
    main()
