"""The action of loading files."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.loading.examples import examples_of
from breakdesk.desk.loading.planning import Prepared, prepare
from breakdesk.desk.loading.report import LoadReport, counts_words, is_nothing_new
from breakdesk.desk.loading.writing import claim_lines, write
from breakdesk.desk.problems import Done, Refusal
from breakdesk.desk.problems import Problem as Refused
from breakdesk.files.column_map import ColumnMap
from breakdesk.files.problems import Problem
from breakdesk.rules.wording import counted
from breakdesk.store.engine import changed_elsewhere
from breakdesk.store.loading import remember_rows
from breakdesk.store.sealing import NoKey, key_path

Progress = Callable[[str, int, int], bool]


class _Stopped(Exception):  # noqa: N818 - named for what happened
    """The person who loads wants no more of it."""


def load_files(
    desk: Desk,
    paths: Sequence[Path],
    *,
    check_only: bool = False,
    shift_days: int = 0,
    progress: Progress | None = None,
    column_map: ColumnMap | None = None,
) -> LoadReport:
    """Loads files together: one transaction and one action, all of them or none.

    `check_only` reports and writes nothing. `shift_days` moves every date in the files. `progress` is told what is
    going on, how much of it is done and of how much; where it returns False nothing is saved. `column_map` says what
    the columns of a spreadsheet with its headings are. Whatever is wrong with
    the files stands in the report.
    """

    def tell(doing: str, done: int, total: int) -> None:
        if progress is not None and not progress(doing, done, total):
            raise _Stopped

    try:
        prepared = prepare(desk, paths, shift_days, tell, column_map)
        if prepared.has_errors:
            return _refused(prepared)
        if check_only:
            said = f"Nothing was written. The files hold {counts_words(prepared.counts)}."
            return _report(prepared, said, saved=False)
        if prepared.plan.is_empty:
            _remember(desk, prepared)
            return _report(prepared, f"Nothing is new: {counts_words(prepared.counts)}.", saved=True)
        return _save(desk, prepared, lambda: prepare(desk, paths, shift_days, tell, column_map), tell)
    except _Stopped:
        return LoadReport(problems=(), said="The load was stopped; nothing was saved.", saved=False)
    except NoKey:
        name = key_path(desk.path).name
        what = "the desk's key file is missing, or it is another desk's"
        remedy = "Put it back beside the desk file, or unlock the desk another way, then load again."
        problem = Problem(name, None, None, None, what, remedy)
        return LoadReport(problems=(problem,), said="Nothing was loaded.", saved=False)


def _save(
    desk: Desk, prepared: Prepared, again: Callable[[], Prepared], tell: Callable[[str, int, int], None]
) -> LoadReport:
    latest = prepared
    lines = [*prepared.plan.lines, *claim_lines(list(prepared.plan.claims.values()))]

    def work(a: Act) -> str:
        nonlocal latest, lines
        # The plan was made without keeping others from writing; now nobody can.
        if changed_elsewhere(desk.database) != latest.desk_version:
            latest = again()
            if latest.has_errors:
                raise Refusal(Refused("The desk has changed.", "Load again."))
            lines = [*latest.plan.lines, *claim_lines(list(latest.plan.claims.values()))]
        moved = write(latest.plan, lines, a, lambda done, total: tell("writing claims", done, total))
        tell("finishing", 0, 1)
        said = f"Loaded {counts_words(latest.counts)}."
        if is_nothing_new(latest.counts) and not a.lines:
            said = f"Nothing is new: {counts_words(latest.counts)}."
        return f"{said} {_moved(moved)}".strip()

    result = act(desk, "load", work)
    if isinstance(result, Done):
        return _report(latest, result.said, saved=True, number=result.number, key=result.key)
    if latest.has_errors:
        return _refused(latest)
    obstacle = Problem(desk.path.name, None, None, None, result.what, result.remedy)
    return LoadReport(problems=(obstacle,), said="Nothing was loaded.", saved=False)


def _moved(claims: int) -> str:
    if not claims:
        return ""
    return f"{counted(claims, 'claim falls', 'claims fall')} due on other days by the new terms."


def _remember(desk: Desk, prepared: Prepared) -> None:
    if prepared.plan.remembered:
        with desk.database.atomic():
            remember_rows(desk.database, prepared.plan.remembered)


def _refused(prepared: Prepared) -> LoadReport:
    report = _report(prepared, "", saved=False)
    count = len(report.errors)
    problems = counted(count, "problem has", "problems have")
    said = f"Nothing was loaded: {problems} to be corrected first."
    return LoadReport(problems=report.problems, counts=report.counts, said=said, saved=False)


def _report(prepared: Prepared, said: str, *, saved: bool, number: int | None = None, key: int = 0) -> LoadReport:
    return LoadReport(
        problems=prepared.problems,
        counts=prepared.counts,
        examples=examples_of(prepared.plan),
        said=said,
        saved=saved,
        number=number,
        key=key,
    )
