"""A real desk in a folder of its own, filled from files, with a clock that tests set."""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

import pytest

from breakdesk.desk.checking import verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.loading import load_files

NOW = datetime(2026, 6, 15, 18, 0, tzinfo=UTC)
HOUSE = {"house": "Corner Table Breaks", "zone": "America/Denver", "currency": "USD", "country": "US"}
MAKERS = (
    {"maker": "Pellwether Issue", "zone": "America/Chicago", "country": "US", "opens": "09:00", "closes": "17:00"},
    {"maker": "Nagisora Card Company", "zone": "Asia/Tokyo", "country": "JP", "opens": "10:00", "closes": "18:00"},
)


@dataclass
class Filled:
    """A desk and what fills it."""

    desk: Desk
    folder: Path
    clock: list[datetime]

    def load(self, *claims: dict[str, object]) -> None:
        """Loads claims; what a claim leaves out is filled in."""
        columns = list(dict.fromkeys(column for row in (*claims, {"maker": 0, "subject": 0}) for column in row))
        path = self.folder / f"claims-{len(list(self.folder.glob('claims-*')))}.csv"
        with path.open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, columns, restval="")
            writer.writeheader()
            for row in claims:
                writer.writerow({"maker": "Pellwether Issue", "subject": "Ana Moor", **row})
        found = load_files(self.desk, [path])
        assert found.saved, found.errors

    def at(self, *moment: int) -> Desk:
        """The desk as of an instant in UTC."""
        return self.desk.at(Clock(tell=lambda: self.clock[0], named=datetime(*moment, tzinfo=UTC)))  # type: ignore[misc]

    def check(self) -> None:
        """Everything that is stored is what the history and the rules say."""
        assert list(verify(self.desk)) == []


@pytest.fixture
def filled(tmp_path: Path) -> Iterator[Filled]:
    """A desk on Monday 15 June 2026 with two makers and no claims."""
    for name, rows in (("house", [HOUSE]), ("makers", MAKERS)):
        with (tmp_path / f"{name}.csv").open("w", encoding="utf-8", newline="") as file:
            writer = csv.DictWriter(file, list(rows[0]))
            writer.writeheader()
            writer.writerows(rows)
    clock = [NOW]
    desk = open_desk(tmp_path / "desk.db", Clock(tell=lambda: clock[0]), create=True, who="AB")
    assert load_files(desk, [tmp_path / "house.csv", tmp_path / "makers.csv"]).saved
    made = Filled(desk, tmp_path, clock)
    yield made
    made.check()
    desk.close()
