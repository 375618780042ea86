"""Writes an invented desk of any size in the files that `load` reads: `python tests/bench/world.py FOLDER`.

Seeded and streaming: the same sizes give the same text, and memory does not grow with them. About six claims in ten
wait for their maker; the rest have arrived, gone out, been closed or refused. Benchmarks import `Size` and
`write_world` from here, with this folder on their path.
"""

from __future__ import annotations

import argparse
import csv
import datetime
from collections.abc import Iterator
from pathlib import Path

from world_breaks import claims, spots
from world_catalogue import Row, Size, checklist, house, makers, participants

__all__ = ["Size", "write_world"]


def write_world(folder: Path, size: Size) -> list[Path]:
    """Write all files into the folder and return their paths, in an order in which they can be loaded one by one."""
    folder.mkdir(parents=True, exist_ok=True)
    parts: list[tuple[str, Iterator[Row]]] = [
        ("house", house(size)),
        ("makers", makers(size)),
        ("participants", participants(size)),
        *((f"checklist-{product + 1:02d}", checklist(size, product)) for product in range(size.products)),
        ("spots", spots(size)),
        ("claims", claims(size)),
    ]
    return [_write(folder / f"{name}.csv", rows) for name, rows in parts]


def _write(path: Path, rows: Iterator[Row]) -> Path:
    with path.open("w", encoding="utf-8", newline="") as file:
        first = next(rows)
        writer = csv.DictWriter(file, fieldnames=list(first))
        writer.writeheader()
        writer.writerow(first)
        writer.writerows(rows)
    return path


def main() -> None:
    """Read the sizes from the command line and write."""
    parser = argparse.ArgumentParser(description="Write an invented desk of any size.")
    parser.add_argument("folder", type=Path)
    plain = Size()
    names = ("claims", "participants", "breaks", "makers", "products", "cards", "years", "seed")
    for name in names:
        parser.add_argument(f"--{name}", type=int, default=getattr(plain, name))
    parser.add_argument("--anchor", type=datetime.date.fromisoformat, default=plain.anchor)
    given = parser.parse_args()
    size = Size(anchor=given.anchor, **{name: getattr(given, name) for name in names})
    for path in write_world(given.folder, size):
        print(path)


if __name__ == "__main__":
    main()
