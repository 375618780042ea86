"""What stands in the way from outside the program (the disk, the folder, another program), as a problem."""

from __future__ import annotations

from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem
from breakdesk.store import backups
from breakdesk.store.trouble import trouble_of


def problem_of(desk: Desk, error: BaseException) -> Problem | None:
    """What an error of the engine or the disk means for a person; None where the error is a mistake of ours.

    The transaction in which it was raised was taken back, so nothing of it was saved.
    """
    trouble = trouble_of(error, desk.path)
    if trouble is None:
        return None
    remedy = backups.way_back(desk.path) if trouble.is_damage else trouble.remedy
    return Problem(f"{trouble.what} Nothing was saved.", remedy)
