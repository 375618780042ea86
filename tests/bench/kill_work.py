"""Real work through the command line, until somebody kills it.

`python tests/bench/kill_work.py DESK FIRST SEED [COUNT]` says on standard output what it is about to do and, once the
command ended with 0, that it was done.
"""

from __future__ import annotations

import io
import json
import random
import sys
import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

PICTURES = Path(tempfile.gettempdir()) / "breakdesk-kill-pictures"
PRODUCT = "Quarrowby 2025-26 Basketball Autograph Hobby"
LETTERS = "abcdefghijklmnopqrstuvwxyz"


@dataclass(frozen=True, slots=True)
class Work:
    """One command, and the mark by which its outcome is found in the desk."""

    kind: str
    mark: str
    tag: str
    arguments: tuple[str, ...]
    typed: str = ""

    def line(self, word: str) -> str:
        """What is said of it."""
        return json.dumps([word, self.kind, self.mark, self.tag])

    @staticmethod
    def of(lines: Iterable[str], wanted: str) -> list[Work]:
        """What was said with a word."""
        said = [json.loads(line) for line in lines if line.strip()]
        return [Work(kind, mark, tag, ()) for word, kind, mark, tag in said if word == wanted]


def name_for(number: int) -> str:
    """A name of letters only, another one for each number."""
    symbols = ""
    for _ in range(5):
        number, place = divmod(number, len(LETTERS))
        symbols += LETTERS[place]
    return f"Zev {symbols.capitalize()}"


def work_number(number: int, tags: list[str], pulled: list[str], chance: random.Random) -> Work:
    """What is done as the number-th thing: pulls, submissions with a code, photos, notes."""
    kind = chance.choice(("pull", "submit", "photo", "note", "note"))
    if kind == "pull":
        code, line = f"PULL{number:08d}", name_for(number)
        return Work(kind, code, "", ("pull", "-", line, "--product", PRODUCT, "--anyway", "--code"), f"{code}\n")
    if kind == "submit" and pulled:
        tag = pulled.pop(chance.randrange(len(pulled)))
        reference = f"REF-{number:08d}"
        return Work(kind, reference, tag, ("submit", tag, "--code", "--reference", reference), f"CODE{number:08d}\n")
    if kind == "photo":
        tag, what = chance.choice(tags), f"photo number {number:08d}"
        return Work(kind, what, tag, ("photo", tag, str(picture(number)), "--of", what))
    tag, text = chance.choice(tags), f"note number {number:08d}"
    return Work("note", text, tag, ("note", tag, text))


def picture(number: int) -> Path:
    """A picture of its own for each number, as its first bytes say."""
    PICTURES.mkdir(mode=0o700, exist_ok=True)
    path = PICTURES / f"{number % 1000}.png"
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + random.Random(number).randbytes(30_000))
    return path


def main() -> None:
    """Works without end, or as often as was asked for."""
    from breakdesk.cli.running import run

    tags, pulled = json.loads(sys.stdin.readline())
    number, chance = int(sys.argv[2]), random.Random(int(sys.argv[3]))
    told = sys.stdout
    last = number + int(sys.argv[4]) if len(sys.argv) > 4 else None
    while number != last:
        work = work_number(number, tags, pulled, chance)
        print(work.line("will"), file=told, flush=True)
        sys.stdin, sys.stdout = io.StringIO(work.typed), io.StringIO()
        if run(["--desk", str(Path(sys.argv[1])), *work.arguments]) != 0:
            raise SystemExit(f"{work.arguments} did not end with 0")
        print(work.line("done"), file=told, flush=True)
        number += 1


if __name__ == "__main__":
    main()
