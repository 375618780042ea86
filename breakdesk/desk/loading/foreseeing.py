"""What a load would come to: how much would be due the moment it is in, and how calm a start line would make it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from breakdesk.desk.desk import Desk
from breakdesk.desk.loading.load import Progress, load_files
from breakdesk.desk.loading.report import LoadReport, is_nothing_new
from breakdesk.desk.problems import Problem
from breakdesk.desk.start_line import Foreseen, foresee, line_now
from breakdesk.desk.summary import Summary, summary
from breakdesk.files.column_map import ColumnMap
from breakdesk.files.headers import Kind
from breakdesk.store.rehearsal import rehearsal

MOST_CLAIMS: Final = 5_000
"""A longer list is not tried out, since that takes as long as loading it."""


@dataclass(frozen=True, slots=True)
class Foretold:
    """A checked load; `before` and `after` are Today without and with it, None where it was not tried out.

    `calm` is what a start line of the usual length would do, where none is drawn and there is something to calm.
    """

    report: LoadReport
    before: Summary | None = None
    after: Summary | None = None
    calm: Foreseen | None = None


def foresee_load(
    desk: Desk, paths: Sequence[Path], *, column_map: ColumnMap | None = None, progress: Progress | None = None
) -> Foretold:
    """Checks files and tries out what would be due once they are in; nothing is kept of it."""
    report = load_files(desk, paths, check_only=True, column_map=column_map, progress=progress)
    if report.errors or is_nothing_new(report.counts):
        return Foretold(report)
    claims = report.counts.get(Kind.CLAIMS)
    if claims is not None and claims.total > MOST_CLAIMS:
        return Foretold(report)
    with rehearsal(desk.database):
        before = summary(desk)
        tried = load_files(desk, paths, column_map=column_map, progress=progress)
        if not tried.saved:
            return Foretold(tried)
        after = summary(desk)
        calm = None if line_now(desk) is not None else foresee(desk)
        if isinstance(calm, Problem) or calm is None or not _is_calmer(after, calm.after):
            return Foretold(report, before, after)
        return Foretold(report, before, after, calm)


def _is_calmer(before: Summary, after: Summary) -> bool:
    return any(old.count > new.count for old, new in zip(before.rounds, after.rounds, strict=True))
