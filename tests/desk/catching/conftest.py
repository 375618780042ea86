"""A desk with one invented break by team, so that a night can be run on it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from breakdesk.desk.breaks import list_breaks
from breakdesk.desk.checking import verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.entering import Pull, Table, open_table, pull, read_line
from breakdesk.desk.loading import load_files
from breakdesk.desk.problems import Done, Result
from breakdesk.rules.claim import Claim
from breakdesk.rules.entry import Kept
from breakdesk.store.claims import claims_with_keys
from breakdesk.store.models import Participant

NOW = datetime(2026, 6, 16, 1, 0, tzinfo=UTC)
FILES = {
    "house": "house,zone,currency,country\nThe Corner Table,America/Denver,USD,US\n",
    "people": "participant,handle,on_air_name\n"
    "Petra Corvane,petrichor,Petra\nOdo Lindquell,odolind,Odo\nMina Tarrow,minatar,\n",
    "checklist": "product,maker,card,subject,team,variation,numbered_to,features\n"
    "Lantern Hoops,Lantern Works,S-1,Kai Marlowe,Marsh Herons,,,auto\n"
    "Lantern Hoops,Lantern Works,S-1,Kai Marlowe,Marsh Herons,Gold,10,auto\n"
    "Lantern Hoops,Lantern Works,S-2,Bram Oster,River Otters,,,auto\n"
    "Lantern Hoops,Lantern Works,S-3,Kai Marlowe;Bram Oster,Marsh Herons;River Otters,,25,auto\n"
    "Lantern Hoops,Lantern Works,S-4,Ivo Kest,Hill Foxes,,,auto\n",
    "spots": "break,product,starts_at,format,spot,participant\n"
    "Hoops night,Lantern Hoops,2026-06-15T19:00,team,Marsh Herons,Petra Corvane\n"
    "Hoops night,Lantern Hoops,2026-06-15T19:00,team,River Otters,Odo Lindquell\n"
    "Hoops night,Lantern Hoops,2026-06-15T19:00,team,Hill Foxes,\n",
}


@dataclass
class Night:
    """The desk, its break, and a clock that tests move."""

    desk: Desk
    break_id: int
    tell: list[datetime]

    def wait(self, seconds: int) -> None:
        """Let time pass."""
        self.tell[0] += timedelta(seconds=seconds)

    def table(self) -> Table:
        """What lies on the table now."""
        return open_table(self.desk, self.break_id)

    def enter(self, line: str, kept: Kept | None = None) -> Result:
        """Type a line and save its best reading."""
        reading = read_line(self.table(), line, kept or Kept(), self.tell[0]).best
        return pull(self.desk, Pull(break_id=self.break_id, reading=reading))

    def caught(self, line: str) -> Claim:
        """Type a line in which nothing is wrong."""
        result = self.enter(line)
        assert isinstance(result, Done), result
        return self.claim(result.claims[0])

    def claim(self, key: int) -> Claim:
        """A claim as it stands."""
        return claims_with_keys(self.desk.database, [key])[0]

    def person(self, handle: str) -> int:
        """The key of a participant."""
        return int(Participant.get(Participant.handle == handle).id)

    def check(self) -> None:
        """The desk is what its history says."""
        assert list(verify(self.desk)) == []


@pytest.fixture
def night(tmp_path: Path) -> Iterator[Night]:
    """A night that begins at 19:00 on 15 June 2026 in Denver."""
    tell = [NOW]
    desk = open_desk(tmp_path / "desk.db", Clock(lambda: tell[0]), create=True, who="AB")
    paths = []
    for name, text in FILES.items():
        path = tmp_path / f"{name}.csv"
        path.write_text(text, encoding="utf-8")
        paths.append(path)
    report = load_files(desk, paths)
    assert report.saved, list(report.errors)
    made = Night(desk, list_breaks()[0].id, tell)
    yield made
    made.check()
    desk.close()


def is_done(result: Result) -> Done:
    """The result of an action that must have taken place."""
    assert isinstance(result, Done), result
    return result
