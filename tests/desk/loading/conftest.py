"""A desk in a folder of its own, and files written into that folder."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.loading import LoadReport, load_files
from breakdesk.rules.claim import Claim
from breakdesk.rules.story import fold
from breakdesk.store import chain, history, projecting
from breakdesk.store.claims import claim_with_tag, claims_with_keys, read_claims
from breakdesk.store.engine import run

NOW = datetime(2026, 6, 15, 18, 0, tzinfo=UTC)
Rows = list[dict[str, object]]


def as_csv(rows: Rows) -> str:
    """The rows as a file, with every column that any of them has."""
    columns = list(dict.fromkeys(column for row in rows for column in row))
    out = io.StringIO()
    writer = csv.DictWriter(out, columns, restval="")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


@dataclass
class Bench:
    """A desk and the folder that its files are written into."""

    desk: Desk
    folder: Path
    tell: list[datetime]

    def write(self, **files: Rows) -> list[Path]:
        """One file for each name given."""
        paths = []
        for name, rows in files.items():
            path = self.folder / f"{name}.csv"
            path.write_text(as_csv(rows), encoding="utf-8")
            paths.append(path)
        return paths

    def load(self, *, options: dict[str, Any] | None = None, **files: Rows) -> LoadReport:
        """Loads the rows together."""
        return load_files(self.desk, self.write(**files), **(options or {}))

    def loaded(self, **files: Rows) -> LoadReport:
        """Loads rows in which nothing is wrong."""
        report = self.load(**files)
        assert report.saved, list(report.errors)
        return report

    def claim(self, tag: str) -> Claim:
        """The claim with this tag."""
        key = claim_with_tag(tag)
        assert key is not None, tag
        return claims_with_keys(self.desk.database, [key])[0]

    def story(self, tag: str) -> list[tuple[str, str]]:
        """The kinds and days of a claim's events, in the order recorded."""
        key = claim_with_tag(tag)
        assert key is not None, tag
        return [(event.kind, event.day.isoformat()) for event in history.claim_events([key])[key]]

    def rows(self, sql: str, *values: object) -> list[tuple[Any, ...]]:
        """What stands in the desk file."""
        found = run(self.desk.database, sql, values)
        return list(found) if found.description else []

    def person(self, name: str) -> int:
        """The key of a participant."""
        return int(self.rows("SELECT id FROM participant WHERE name = ?", name)[0][0])

    def dump(self) -> dict[str, list[tuple[Any, ...]]]:
        """All rows of all tables."""
        names = sorted(self.desk.database.get_tables())
        return {name: self.rows(f'SELECT * FROM "{name}" ORDER BY 1, 2') for name in names}

    def check(self) -> None:
        """The chain holds, every due day is what the rules say, and each claim is the fold of its history."""
        database = self.desk.database
        assert list(chain.broken_links(database)) == []
        assert list(projecting.due_differences(database)) == []
        present = {claim.id: claim for claim in read_claims(database)}
        folded = {key: fold(key, events) for key, events in history.all_claim_events(database)}
        assert folded == present


@pytest.fixture
def make_bench(tmp_path: Path) -> Iterator[Callable[[], Bench]]:
    """Makes desks; each is checked and closed at the end."""
    made: list[Bench] = []

    def make() -> Bench:
        folder = tmp_path / f"desk {len(made)}"
        folder.mkdir()
        tell = [NOW]
        for earlier in made:
            earlier.check()
            earlier.desk.close()
        bench = Bench(open_desk(folder / "desk.db", Clock(lambda: tell[0]), create=True, who="AB"), folder, tell)
        made.append(bench)
        return bench

    yield make
    if made:
        made[-1].check()
        made[-1].desk.close()


@pytest.fixture
def bench(make_bench: Callable[[], Bench]) -> Bench:
    """An empty desk on 15 June 2026, a Monday."""
    return make_bench()
