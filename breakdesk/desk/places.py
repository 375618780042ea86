"""Where a person left something, so that it can be taken up again: no fact of the business."""

from __future__ import annotations

from breakdesk.desk.desk import Desk
from breakdesk.desk.obstacles import problem_of
from breakdesk.desk.problems import Problem
from breakdesk.store import models


def remember(desk: Desk, name: str, value: str) -> Problem | None:
    """Keeps a place under a name, replacing an earlier one; says what stood in the way, where something did."""
    try:
        with desk.database.atomic():
            table = models.Setting
            kept = table.insert(name=name, value=value)
            kept.on_conflict(conflict_target=[table.name], update={table.value: value}).execute()
    except Exception as error:
        problem = problem_of(desk, error)
        if problem is None:
            raise
        return problem
    return None


def remembered(desk: Desk, name: str) -> str:
    """The place kept under a name; empty where none was."""
    row = models.Setting.get_or_none(models.Setting.name == name)
    return "" if row is None else str(row.value)
