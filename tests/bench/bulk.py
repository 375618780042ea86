"""Write 10,000 merged messages for 60,000 waiting claims of a real desk, beside bare Jinja2 on the same templates.

Run: python tests/bench/bulk.py FOLDER [PARTICIPANTS]. The desk is made once in FOLDER and used again.
"""

from __future__ import annotations

import csv
import resource
import shutil
import sys
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

from messages import bare_writer

from breakdesk.desk.bulk import Wanted, choose, keys_of
from breakdesk.desk.bulk_files import Form, ToWrite, Written, write_bulk
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.loading import load_files
from breakdesk.desk.telling import tellings_for

CLAIMS_EACH = 6
NOW = datetime(2026, 6, 15, 15, 0, tzinfo=UTC)
GOAL_SECONDS = 10.0


def desk_of(folder: Path, people: int) -> Desk:
    """A desk on which so many participants wait for six cards each."""
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / f"bulk-{people}.db"
    clock = Clock(lambda: NOW)
    if not path.exists():
        files = [_participants(folder / "participants.csv", people), _claims(folder / "claims.csv", people)]
        started = time.perf_counter()
        unfinished = open_desk(path.with_suffix(".new"), clock, create=True)
        found = load_files(unfinished, files)
        unfinished.close()
        if not found.saved:
            raise SystemExit(found.said)
        path.with_suffix(".new.key").rename(path.with_name(f"{path.name}.key"))
        path.with_suffix(".new").rename(path)
        print(f"{found.said} {time.perf_counter() - started:.1f} s")
    return open_desk(path, clock)


def _participants(path: Path, people: int) -> Path:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(("participant", "handle", "email", "channel", "language"))
        for number in range(people):
            language = ("en", "de", "fr")[number % 3]
            writer.writerow((f"Person {number}", f"@p{number}", f"p{number}@mail.example", "email", language))
    return path


def _claims(path: Path, people: int) -> Path:
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        days = ("pulled_at", "submitted_on", "last_told_on")
        writer.writerow(("product", "maker", "participant", "subject", "variation", "numbered_to", *days))
        for number in range(people):
            for place in range(CLAIMS_EACH):
                pulled = date(2026, 1, 5) + timedelta(days=(number + 11 * place) % 120)
                card = (f"Ilvo Marrin {place}", "Gold", number % 90 + 9)
                product = f"Harbor Prime {place % 4}"
                # One of the six is news still to be told, the others wait.
                told = date(2026, 5, 20) if place else ""
                dates = (pulled, pulled + timedelta(days=2), told)
                writer.writerow((product, "Norwind", f"Person {number}", *card, *dates))
    return path


def bare(desk: Desk, keys: tuple[int, ...]) -> float:
    """Seconds that bare Jinja2 takes for the same views with the same templates, reading them left out."""
    write, seconds = bare_writer(), 0.0
    for telling in tellings_for(desk, keys):
        started = time.perf_counter()
        if telling.view.waiting:
            write(telling.view)
        seconds += time.perf_counter() - started
    return seconds


def peak_megabytes() -> float:
    """The most memory that this process ever held."""
    size = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return size / 1e6 if sys.platform == "darwin" else size / 1e3


def main(folder: Path, people: int) -> None:
    """Print the table."""
    desk = desk_of(folder, people)
    started = time.perf_counter()
    keys = keys_of(choose(desk, Wanted()))
    print(f"{len(keys):,} participants chosen in {time.perf_counter() - started:.2f} s")
    print(f"{'what':<28}{'seconds':>9}{'each, ms':>10}{'peak MB':>9}{'CPU, s':>10}")
    forms: tuple[Form, ...] = ("txt", "eml", "csv")
    for form in forms:
        for some in (keys[: len(keys) // 10], keys):
            out = folder / f"out.{form}"
            shutil.rmtree(out, ignore_errors=True)
            out.unlink(missing_ok=True)
            started, worked = time.perf_counter(), time.process_time()
            wanted = ToWrite(person_ids=some, out=out, form=form, from_address="desk@example.org")
            written = write_bulk(desk, wanted)
            seconds, worked = time.perf_counter() - started, time.process_time() - worked
            assert isinstance(written, Written), written
            print(_line(f"{written.count:,} as {form}", seconds, written.count), f"{worked:>9.2f}")
            if form != "csv":
                shutil.rmtree(out)
            if some is keys:
                print("    " + ("within" if seconds <= GOAL_SECONDS else "LONGER THAN") + f" {GOAL_SECONDS:.0f} s")
    print(_line(f"{len(keys):,} by bare Jinja2", bare(desk, keys), len(keys)))
    desk.close()


def _line(what: str, seconds: float, count: int) -> str:
    return f"{what:<28}{seconds:>9.2f}{1e3 * seconds / max(count, 1):>10.2f}{peak_megabytes():>9.0f}"


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 10_000)
