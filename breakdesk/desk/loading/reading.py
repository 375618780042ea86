"""Reads all files of a load into rows, in the order in which they depend on each other."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from pathlib import Path

from breakdesk.desk.loading.shifting import shifted
from breakdesk.files.column_map import ColumnMap
from breakdesk.files.headers import LOADING_ORDER, Kind
from breakdesk.files.problems import Problem, has_errors
from breakdesk.files.row_kinds import HouseRow, Row
from breakdesk.files.rows import parse_rows
from breakdesk.files.tables import Table, read_tables
from breakdesk.rules.terms import Terms


@dataclass(frozen=True, slots=True)
class Sheet:
    """The rows of one table of a file."""

    file: str
    rows: Sequence[Row]


@dataclass(slots=True)
class Batch:
    """Everything that the files say, by kind, and what is wrong with how they say it."""

    sheets: dict[Kind, list[Sheet]] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)

    @property
    def has_errors(self) -> bool:
        """Whether a file cannot be taken."""
        return has_errors(self.problems)


Progress = Callable[[str, int, int], None]


def read_batch(
    paths: Sequence[Path],
    terms: Terms,
    today: date,
    shift_days: int,
    progress: Progress,
    column_map: ColumnMap | None = None,
) -> Batch:
    """Reads the files; `terms` are the house's where no house file among them says otherwise."""
    batch = Batch()
    tables: list[Table] = []
    for position, path in enumerate(paths):
        progress("reading", position, len(paths))
        reading = read_tables(path, column_map)
        batch.problems += reading.problems
        tables += reading.tables
    zone, currency = terms.on("zone", today), terms.on("currency", today)
    # What the files say was true on their own days, before they were moved.
    written_today = today - timedelta(days=shift_days)
    for kind in LOADING_ORDER:
        for table in (table for table in tables if table.kind is kind):
            progress(f"checking {table.file}", 0, len(table.rows))
            rows, problems = parse_rows(table, zone, currency, written_today)
            batch.problems += map(_without_secret, problems)
            batch.sheets.setdefault(kind, []).append(Sheet(table.file, shifted(rows, shift_days, zone)))
            for row in rows:
                if isinstance(row, HouseRow):
                    zone, currency = row.zone or zone, row.currency or currency
    return batch


def _without_secret(problem: Problem) -> Problem:
    """A code is never shown, not even a wrong one."""
    return replace(problem, value=None) if problem.column == "code" else problem
