"""Kills the program at random moments of real work and checks after each that nothing was lost and nothing half done.

`python tests/bench/kills.py --kills 500` works through the command line (one process a command, and many commands in
one process) and through the screen, kills with SIGKILL, and looks at the desk as the next start finds it. Where the
write-ahead log is still there, a copy of the desk with that log cut off anywhere has to be a sound desk as well.
"""

from __future__ import annotations

import argparse
import json
import random
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from kill_checks import Tally, cut_log_faults, faults_after
from kill_screen import Person
from kill_work import PICTURES, Work, work_number

from breakdesk.desk.checking import counted
from breakdesk.desk.desk import open_desk
from breakdesk.desk.loading import load_files
from breakdesk.rules.tags import shown
from breakdesk.store.backups import backups_of, faults_of
from breakdesk.store.engine import run

SAMPLE = Path(__file__).resolve().parents[2] / "sample_breaks"
WORKER = Path(__file__).with_name("kill_work.py")
SHARES = {"one command": 5, "many commands": 11, "screen": 4}
"""Of twenty kills, how many hit what."""
NUMBERS_A_KILL = 10_000
NOTE_DIALOG = "A note on this claim"


def main() -> int:
    """Kills as often as was asked for and says what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=500)
    parser.add_argument("--seed", type=int, default=int(time.time()))
    given = parser.parse_args()
    started, tally = time.monotonic(), Tally()
    with tempfile.TemporaryDirectory(prefix="breakdesk-kills-") as folder, _pictures_removed():
        path = Path(folder) / "desk.db"
        _make(path)
        for number in range(given.kills):
            chance = random.Random(f"{given.seed} {number}")
            _kill_once(path, number, chance, tally)
            if number % 50 == 49:
                print(f"{number + 1} kills, {tally.acknowledged} acknowledged actions so far", flush=True)
            if tally.faults:
                break
        backups = sum(not any(faults_of(backup.path)) for backup in backups_of(path))
        desk = open_desk(path)
        actions, claims = counted(desk)
        desk.close()
    print(f"Seed {given.seed}: {sum(tally.kills.values())} kills in {time.monotonic() - started:.0f} s.")
    for what, count in sorted(tally.kills.items()):
        print(f"  {count} during {what}")
    print(f"  {tally.acknowledged} acknowledged actions all there, {tally.on_screen} of them on the screen")
    print(f"  {tally.unacknowledged_but_there} actions that were not acknowledged any more were saved whole")
    print(f"  {tally.cut_logs} write-ahead logs cut off anywhere: every one a sound desk")
    print(f"  {actions} actions, {claims} claims, {backups} sound backups at the end")
    for fault in tally.faults:
        print(f"FAULT: {fault}")
    return 1 if tally.faults else 0


@contextmanager
def _pictures_removed() -> Iterator[None]:
    try:
        yield
    finally:
        shutil.rmtree(PICTURES, ignore_errors=True)


def _make(path: Path) -> None:
    desk = open_desk(path, create=True)
    report = load_files(desk, sorted(SAMPLE.glob("*.csv")) + sorted(SAMPLE.glob("*.xlsx")))
    desk.close()
    if not report.saved:
        raise SystemExit(report.said)


def _kill_once(path: Path, number: int, chance: random.Random, tally: Tally) -> None:
    kinds = [kind for kind, share in SHARES.items() for _ in range(share)]
    kind = kinds[(number * 7) % len(kinds)]
    tags, pulled = tags_of(path)
    first = number * NUMBERS_A_KILL
    do = {"one command": _one_command, "many commands": _many_commands, "screen": _screen}[kind]
    begun, done = do(path, tags, pulled, first, chance)
    tally.kills[kind] += 1
    tally.on_screen += len(done) if kind == "screen" else 0
    tally.faults += cut_log_faults(path, chance, tally)
    tally.faults += [f"kill {number} ({kind}): {fault}" for fault in faults_after(path, begun, done, tally)]


def _one_command(
    path: Path, tags: list[str], pulled: list[str], first: int, chance: random.Random
) -> tuple[list[Work], list[Work]]:
    work = work_number(first, tags, pulled, chance)
    process = subprocess.Popen(
        [sys.executable, "-m", "breakdesk", "--desk", str(path), *work.arguments],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    # Starting takes most of a command's time: aim at the end of it.
    try:
        process.communicate(work.typed, timeout=chance.triangular(0.05, 0.7, 0.4))
    except subprocess.TimeoutExpired:
        process.kill()
        process.communicate()
    return [work], [work] if process.returncode == 0 else []


def _many_commands(
    path: Path, tags: list[str], pulled: list[str], first: int, chance: random.Random
) -> tuple[list[Work], list[Work]]:
    process = subprocess.Popen(
        [sys.executable, str(WORKER), str(path), str(first), str(chance.randrange(2**32))],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    if process.stdin is None or process.stdout is None or process.stderr is None:
        raise RuntimeError("the pipes are missing")
    process.stdin.write(started_words(tags, pulled))
    process.stdin.flush()
    lines = [process.stdout.readline(), process.stdout.readline()]
    time.sleep(chance.uniform(0.0, 0.25))
    process.kill()
    rest, errors = process.communicate()
    if "did not end with 0" in errors:
        raise SystemExit(errors)
    said = [line for line in "".join([*lines, rest]).splitlines(keepends=True) if line.endswith("\n")]
    return Work.of(said, "will"), Work.of(said, "done")


def _screen(
    path: Path, tags: list[str], pulled: list[str], first: int, chance: random.Random
) -> tuple[list[Work], list[Work]]:
    """Goes off air, looks a claim up and writes notes on it, which its story then shows."""
    tag = chance.choice(pulled or tags)
    begun: list[Work] = []
    done: list[Work] = []
    started = time.monotonic()
    person = Person(path)
    try:
        if not finds(person, tag):
            return begun, done
        if chance.random() < 0.3:
            # The session's first backup is made two seconds after the start: sometimes cut that off as well.
            person.look(max(0.0, started + chance.uniform(1.9, 2.2) - time.monotonic()))
        for number in range(first, first + chance.randrange(1, 4)):
            work = Work("note", f"note number {number:08d}", tag, ())
            person.press("n")
            if not person.sees(NOTE_DIALOG):
                return begun, done
            begun.append(work)
            person.press(f"{work.mark}\r")
            if not person.sees(work.mark, without=NOTE_DIALOG):
                return begun, done
            done.append(work)
        last = Work("note", f"note number {first + 9:08d}", tag, ())
        person.press("n")
        if person.sees(NOTE_DIALOG):
            begun.append(last)
            person.press(f"{last.mark}\r")
            person.look(chance.uniform(0.0, 0.12))
    finally:
        person.kill()
    if begun[-1:] == [last] and last.mark in person.shown and NOTE_DIALOG not in person.shown:
        done.append(last)
    return begun, done


def finds(person: Person, tag: str) -> bool:
    """Goes off air and to the claim with this tag; tells whether the screen got that far."""
    for keys, words, gone in (
        ("", "F1 Help", "\0"),
        ("\x1b[20~", "Go off air?", "\0"),
        ("\x1b[B\r", "OFF AIR", "Go off air?"),
        ("\x1b[15~", "Type a beginning", "claims to submit"),
        (tag, f"▸ {shown(tag)}", "\0"),
        ("\r", "n Note", "\0"),
    ):
        person.press(keys)
        if not person.sees(words, without=gone):
            return False
        person.look(0.1)
    return True


def started_words(tags: list[str], pulled: list[str]) -> str:
    """What a worker is told first."""
    return json.dumps([tags, pulled]) + "\n"


def tags_of(path: Path) -> tuple[list[str], list[str]]:
    """The tags of the claims, and of those that can be submitted."""
    desk = open_desk(path)
    every = [row[0] for row in run(desk.database, "SELECT tag FROM claim WHERE state <> 'void' ORDER BY id")]
    pulled = [
        row[0]
        for row in run(
            desk.database,
            "SELECT tag FROM claim WHERE state = 'pulled' AND plan = 'submit' AND maker_id IS NOT NULL "
            "AND expired_choice IS NULL AND id > 180 ORDER BY id",
        )
    ]
    desk.close()
    return every, pulled


if __name__ == "__main__":
    sys.exit(main())
