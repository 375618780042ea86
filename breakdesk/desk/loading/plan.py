"""What a load is going to write, worked out before the desk is locked for writing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from breakdesk.files.problems import Problem, Severity
from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.clocks import microseconds_of
from breakdesk.rules.parties import House
from breakdesk.rules.terms import HOUSE_DEFAULTS, terms_from
from breakdesk.store import history
from breakdesk.store.loading import NUMBERED, Snapshot
from breakdesk.store.models import Maker, Term
from breakdesk.store.models.base import Table
from breakdesk.store.sealing import Sealer

Values = dict[str, Any]


@dataclass(slots=True)
class NewClaim:
    """A claim that a row makes."""

    claim_id: int
    events: list[Event]
    facts: Claim
    digest: str
    note_id: int | None = None
    note: str = ""
    has_code: bool = False


@dataclass(frozen=True, slots=True)
class Place:
    """Where something stands, for the problems that are found with it."""

    file: str
    line: int


@dataclass(slots=True)
class Plan:
    """Rows to add and to change, events, and everything to be said about them."""

    snapshot: Snapshot
    sealer: Sealer
    today: date
    now: datetime
    rows: dict[type[Table], list[Values]] = field(default_factory=dict)
    """New rows in stored form, by table."""
    changes: dict[tuple[type[Table], int], Values] = field(default_factory=dict)
    lines: list[history.Line] = field(default_factory=list)
    problems: list[Problem] = field(default_factory=list)
    remembered: dict[str, str] = field(default_factory=dict)
    house_name: str | None = None
    terms_changed: bool = False
    forgotten_holidays: list[int] = field(default_factory=list)
    holders: dict[int, set[int]] = field(default_factory=dict)
    """The participants of spots that the desk has already and that change hands."""
    texts: list[tuple[int, bytes, str]] = field(default_factory=list)
    new_words: list[tuple[int, set[str]]] = field(default_factory=list)
    changed_words: list[tuple[int, set[str]]] = field(default_factory=list)
    people: set[int] = field(default_factory=set)
    claims: dict[int, NewClaim] = field(default_factory=dict)
    added_events: dict[int, list[Event]] = field(default_factory=dict)
    """Events of claims that the desk has already."""
    added_notes: list[tuple[int, int]] = field(default_factory=list)
    codes: list[tuple[int, int, bytes, str | None, str | None]] = field(default_factory=list)
    tellings: dict[tuple[int, date], list[int]] = field(default_factory=dict)
    """The claims that a participant was told of on a day."""
    _next: dict[type[Table], int] = field(default_factory=dict)

    def house(self) -> House:
        """The house with the terms that it will have."""
        return House(
            self.house_name or self.snapshot.house_name or "The house",
            terms_from(HOUSE_DEFAULTS, self.snapshot.house_terms),
        )

    def next_id(self, table: type[Table]) -> int:
        """The key that the next new row of a table takes."""
        key = self._next.get(table, self.snapshot.next_ids[table])
        self._next[table] = key + 1
        return key

    def add(self, table: type[Table], **values: Any) -> int:
        """A new row; returns its key, 0 for a table whose keys nobody refers to."""
        key = 0
        if table in NUMBERED:
            key = self.next_id(table)
            values["id"] = key
        self.rows.setdefault(table, []).append(values)
        return key

    def change(self, table: type[Table], row_id: int, values: Mapping[str, Any]) -> None:
        """Other values in a row, which the desk has already or this load makes."""
        if row_id >= self.snapshot.next_ids.get(table, row_id + 1):
            self.rows[table][row_id - self.snapshot.next_ids[table]].update(values)
        else:
            self.changes.setdefault((table, row_id), {}).update(values)

    def line(self, thing: str, thing_id: int, **body: Any) -> None:
        """A line of history that says what was loaded: keys and column names, never what stands in them."""
        self.lines.append(history.Line(thing, thing_id, "loaded", self.today, history.canonical(body)))

    def settle(self, maker_id: int | None, name: str, value: str, *, first: bool) -> None:
        """A term of the house or of a maker, in force since always the first time, later from today on."""
        from_day = None if first else self.today
        snapshot = self.snapshot
        rows = snapshot.house_terms if maker_id is None else snapshot.maker_terms.setdefault(maker_id, [])
        rows.append((name, value, from_day))
        self.note_changed_terms(maker_id)
        self.add(
            Term,
            maker_id=maker_id,
            name=name,
            value=value,
            from_day=from_day.isoformat() if from_day else None,
            recorded_at=microseconds_of(self.now),
        )

    def note_changed_terms(self, maker_id: int | None) -> None:
        """What was settled with the house or with a maker changed; of a new maker nothing can fall due yet."""
        if maker_id is None or maker_id < self.snapshot.next_ids[Maker]:
            self.terms_changed = True

    def error(self, place: Place, column: str | None, value: str | None, what: str, remedy: str) -> None:
        """Something that keeps the files out."""
        self.problems.append(Problem(place.file, place.line, column, value, what, remedy))

    def warn(self, place: Place, column: str | None, value: str | None, what: str, remedy: str) -> None:
        """Something that a person should look at."""
        self.problems.append(Problem(place.file, place.line, column, value, what, remedy, Severity.WARNING))

    def digest(self, *cells: object) -> str:
        """A digest of cells from which nobody without the desk's key can guess them."""
        return self.sealer.digest("row:" + "\x1f".join("" if cell is None else str(cell) for cell in cells))

    def is_same_row(self, thing: str, digest: str) -> bool:
        """Whether the row that last said something about a thing was this one; notes that it is now."""
        if self.remembered.get(thing, self.snapshot.remembered.get(thing)) == digest:
            return True
        self.remembered[thing] = digest
        return False

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to write."""
        return not (
            self.rows or self.changes or self.lines or self.claims or self.added_events or self.added_notes
            or self.codes or self.house_name or self.holders or self.forgotten_holidays
        )  # fmt: skip
