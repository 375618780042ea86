"""Cuts the power, as far as a test can: what the disk may hold at any moment, built from every write that was traced.

`python tests/bench/power_cuts.py --cuts 300` works at the command line under strace, which writes down each write to
the desk file and its log, each order to the disk to keep them (fsync), and each word that an action was done. Then the
files are built as they may stand after the power went at a random moment: what was written before the last such order
is there; of what came after it, each piece is there, is lost, or is torn between sectors. Each has to be a sound desk
with everything that was acknowledged until then. Also, no action may be acknowledged before the order to keep it.
"""

from __future__ import annotations

import argparse
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from kill_checks import Tally, faults_after
from kill_work import PICTURES, Work
from kills import SAMPLE, WORKER, started_words, tags_of

from breakdesk.desk.desk import open_desk
from breakdesk.desk.loading import load_files
from breakdesk.store.kept_files import PHOTOS, files_folder
from breakdesk.store.sealing import key_path

SECTOR = 512
_CALL = re.compile(r"^(?:\d+\s+)?(?:[\d.]+\s+)?(\w+)\((\d+)<([^>]*)>(.*)\)\s+=\s+(-?\d+)")
_TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')
_OFFSET = re.compile(r",\s*(\d+)$")
HOLDER = """
import sqlite3, sys
connection = sqlite3.connect(sys.argv[1])
connection.execute("SELECT 1 FROM claim").fetchone()
sys.stdin.read()
"""


@dataclass(frozen=True, slots=True)
class Step:
    """One traced call: a write to a file of the desk, its end cut off, the order to keep it, or a word said."""

    kind: str
    file: str = ""
    offset: int = 0
    content: bytes = b""


@dataclass
class Disk:
    """A file as the disk holds it for sure, and what was written since the last order to keep it."""

    sure: bytearray = field(default_factory=bytearray)
    pending: list[Step] = field(default_factory=list)

    def keep(self) -> None:
        """The order to keep what was written."""
        for step in self.pending:
            _apply(self.sure, step)
        self.pending = []

    def after_a_cut(self, chance: random.Random) -> bytes:
        """What may be found after the power went: each piece since the last order whole, lost or torn."""
        found = bytearray(self.sure)
        for step in self.pending:
            fate = chance.choice(("whole", "lost", "torn"))
            if fate == "whole":
                _apply(found, step)
            if fate == "torn":
                for start in range(0, len(step.content), SECTOR):
                    if chance.random() < 0.5:
                        piece = step.content[start : start + SECTOR]
                        _apply(found, Step("write", step.file, step.offset + start, piece))
        return bytes(found)


def main() -> int:
    """Cuts as often as was asked for and says what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cuts", type=int, default=300)
    parser.add_argument("--actions", type=int, default=120)
    parser.add_argument("--seed", type=int, default=int(time.time()))
    given = parser.parse_args()
    if shutil.which("strace") is None:
        print("strace is not on this machine, so that no write can be traced.")
        return 2
    chance, tally = random.Random(given.seed), Tally()
    with tempfile.TemporaryDirectory(prefix="breakdesk-cuts-") as folder:
        path, base = Path(folder) / "desk.db", Path(folder) / "base"
        steps = _traced(path, base, given.actions, given.seed)
        shutil.rmtree(PICTURES, ignore_errors=True)
        early = _acknowledged_too_early(steps, base)
        tally.faults += early
        cuts = sorted(chance.sample(range(len(steps) + 1), min(given.cuts, len(steps) + 1)))
        for cut, files, words in _cuts(steps, base, cuts, chance):
            _check(path, Path(folder) / f"cut {cut}", files, words, tally)
            if tally.faults:
                break
    written = sum(step.kind == "write" for step in steps)
    kept = sum(step.kind == "keep" for step in steps)
    done = sum(step.content.count(b'["done"') for step in steps if step.kind == "say")
    print(f"Seed {given.seed}: {done} actions; {written} writes and {kept} orders to keep them were traced.")
    print(f"  {len(early)} actions acknowledged before the order to keep them had been carried out")
    print(f"  {len(cuts)} cuts: {tally.acknowledged} acknowledged actions looked for, all there; every desk sound")
    for fault in tally.faults:
        print(f"FAULT: {fault}")
    return 1 if tally.faults else 0


def _traced(path: Path, base: Path, actions: int, seed: int) -> list[Step]:
    """Works under strace, while another program holds the desk open; returns the calls in their order."""
    desk = open_desk(path, create=True)
    load_files(desk, sorted(SAMPLE.glob("*.csv")) + sorted(SAMPLE.glob("*.xlsx")))
    desk.close()
    holder = subprocess.Popen([sys.executable, "-c", HOLDER, str(path)], stdin=subprocess.PIPE)
    try:
        words = started_words(*tags_of(path))
        base.mkdir()
        for name in (path.name, f"{path.name}-wal"):
            if path.with_name(name).exists():
                shutil.copy2(path.with_name(name), base / name)
        trace = path.with_name("trace")
        command = ["strace", "-f", "-y", "-xx", "-s", "400000", "-e", "trace=write,pwrite64,fsync,fdatasync,ftruncate"]
        worker = [sys.executable, str(WORKER), str(path), "0", str(seed), str(actions)]
        done = subprocess.run(
            [*command, "-o", str(trace), *worker], input=words, capture_output=True, text=True, check=False
        )
        if done.returncode:
            raise SystemExit(done.stderr)
        return list(_steps(trace, path))
    finally:
        holder.communicate()


def _steps(trace: Path, path: Path) -> Iterator[Step]:
    names = {str(path): path.name, f"{path}-wal": f"{path.name}-wal"}
    with trace.open() as lines:
        for line in lines:
            if "unfinished" in line or "resumed" in line:
                raise SystemExit("two threads wrote at once: the trace is in no clear order")
            call = _CALL.match(line)
            if call is None or int(call[5]) < 0:
                continue
            kind, number, file, rest = call[1], int(call[2]), _decoded(call[3]), call[4]
            text = _TEXT.search(rest)
            content = bytes.fromhex(text[1].replace("\\x", "")) if text else b""
            if kind == "write" and number == 1:
                yield Step("say", content=content)
            elif file in names and kind == "pwrite64":
                offset = _OFFSET.search(rest)
                if offset is None or len(content) != int(call[5]):
                    raise SystemExit("a write was not traced whole")
                yield Step("write", names[file], int(offset[1]), content)
            elif file in names and kind in ("fsync", "fdatasync"):
                yield Step("keep", names[file])
            elif file in names and kind == "ftruncate":
                yield Step("cut off", names[file], int(rest.removeprefix(",")))
            elif file in names:
                raise SystemExit(f"the engine did what is not foreseen here: {kind}")


def _decoded(text: str) -> str:
    return bytes.fromhex(text.replace("\\x", "")).decode() if text.startswith("\\x") else text


def _acknowledged_too_early(steps: list[Step], base: Path) -> list[str]:
    """Actions that were said to be done while a write of the log had not been ordered to be kept."""
    pending, found = 0, []
    for step in steps:
        if step.file.endswith("-wal"):
            pending = 0 if step.kind == "keep" else pending + 1
        elif step.kind == "say" and b'["done"' in step.content and pending:
            found.append(f"acknowledged with {pending} writes not kept: {step.content[:60]!r}")
    return found


def _cuts(
    steps: list[Step], base: Path, cuts: list[int], chance: random.Random
) -> Iterator[tuple[int, dict[str, bytes], list[str]]]:
    """The files and the words said until each moment."""
    disks = {path.name: Disk(bytearray(path.read_bytes())) for path in base.iterdir()}
    wanted, words = set(cuts), []
    for number, step in enumerate([*steps, Step("end")]):
        if number in wanted:
            yield number, {name: disk.after_a_cut(chance) for name, disk in disks.items()}, list(words)
        if step.kind == "say":
            words += step.content.decode().splitlines()
        elif step.kind in ("write", "cut off"):
            disks.setdefault(step.file, Disk()).pending.append(step)
        elif step.kind == "keep":
            disks.setdefault(step.file, Disk()).keep()


def _check(path: Path, folder: Path, files: dict[str, bytes], words: list[str], tally: Tally) -> None:
    folder.mkdir()
    copy = folder / path.name
    for name, content in files.items():
        (folder / name).write_bytes(content)
    shutil.copy2(key_path(path), key_path(copy))
    files_folder(copy).mkdir()
    if (files_folder(path) / PHOTOS).is_dir():
        (files_folder(copy) / PHOTOS).symlink_to(files_folder(path) / PHOTOS)
    begun, done = (Work.of(words, word) for word in ("will", "done"))
    tally.faults += [f"{folder.name}: {fault}" for fault in faults_after(copy, begun, done, tally)]
    shutil.rmtree(folder)


def _apply(content: bytearray, step: Step) -> None:
    if step.kind == "cut off":
        del content[step.offset :]
    if len(content) < step.offset:
        content.extend(bytes(step.offset - len(content)))
    content[step.offset : step.offset + len(step.content)] = step.content


if __name__ == "__main__":
    sys.exit(main())
