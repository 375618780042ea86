"""Works out what files add to the desk, without writing anything."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from breakdesk.desk.desk import Desk
from breakdesk.desk.loading.checklists import plan_checklists
from breakdesk.desk.loading.claims import ClaimLoad
from breakdesk.desk.loading.houses import plan_house
from breakdesk.desk.loading.makers import note_holidays, plan_makers
from breakdesk.desk.loading.names import Names
from breakdesk.desk.loading.people import plan_people
from breakdesk.desk.loading.plan import Plan
from breakdesk.desk.loading.reading import Batch, read_batch
from breakdesk.desk.loading.report import Counts
from breakdesk.desk.loading.spots import plan_spots
from breakdesk.files.column_map import ColumnMap
from breakdesk.files.headers import Kind
from breakdesk.files.problems import Problem, has_errors, listed
from breakdesk.rules.parties import House
from breakdesk.store.engine import changed_elsewhere
from breakdesk.store.loading import read_snapshot

Progress = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class Prepared:
    """A plan, what it is made of, and the state of the desk file for which it was made."""

    plan: Plan
    counts: dict[Kind, Counts]
    problems: tuple[Problem, ...]
    desk_version: int

    @property
    def has_errors(self) -> bool:
        """Whether nothing may be written."""
        return has_errors(self.problems)


def prepare(
    desk: Desk, paths: Sequence[Path], shift_days: int, progress: Progress, column_map: ColumnMap | None = None
) -> Prepared:
    """Reads the files and compares them with the desk. Raises NoKey where the desk's key file is gone."""
    version = changed_elsewhere(desk.database)
    snapshot = read_snapshot(desk.database)
    terms = snapshot.house()
    happened = desk.clock.as_of()
    today = House("", terms).today(happened)
    batch = read_batch(paths, terms, today, shift_days, progress, column_map)
    plan = Plan(snapshot, desk.sealer, today, desk.clock.now())
    counts = {kind: Counts() for kind in batch.sheets}
    plan_house(plan, batch.sheets.get(Kind.HOUSE, ()), counts.setdefault(Kind.HOUSE, Counts()))
    plan.today = plan.house().today(happened)
    names = Names(plan)
    _plan_the_rest(plan, names, desk, batch, counts, progress)
    for maker_id in names.made_makers:
        note_holidays(plan, maker_id)
    problems = _by_file([*batch.problems, *plan.problems])
    return Prepared(plan, counts, problems, version)


def _plan_the_rest(
    plan: Plan, names: Names, desk: Desk, batch: Batch, counts: dict[Kind, Counts], progress: Progress
) -> None:
    sheets = batch.sheets
    if Kind.MAKERS in sheets:
        plan_makers(plan, names, sheets[Kind.MAKERS], counts[Kind.MAKERS])
    if Kind.PARTICIPANTS in sheets:
        progress("comparing participants", 0, 1)
        plan_people(plan, names, sheets[Kind.PARTICIPANTS], counts[Kind.PARTICIPANTS])
    if Kind.CHECKLIST in sheets:
        progress("comparing checklists", 0, 1)
        plan_checklists(plan, names, desk.database, sheets[Kind.CHECKLIST], counts[Kind.CHECKLIST])
    if Kind.SPOTS in sheets:
        progress("comparing spots", 0, 1)
        plan_spots(plan, names, sheets[Kind.SPOTS], counts[Kind.SPOTS])
    if Kind.CLAIMS in sheets:
        load = ClaimLoad(plan, names, desk.database, counts[Kind.CLAIMS])
        load.run(sheets[Kind.CLAIMS], lambda done, total: progress("comparing claims", done, total))


def _by_file(problems: Sequence[Problem]) -> tuple[Problem, ...]:
    """The problems file by file as they came, by line within each."""
    order = {file: position for position, file in enumerate(dict.fromkeys(problem.file for problem in problems))}
    ordered = sorted(problems, key=lambda problem: order[problem.file])
    return tuple(item for _, items in groupby(ordered, key=lambda problem: problem.file) for item in listed([*items]))
