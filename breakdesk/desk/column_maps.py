"""Matches of columns kept in the desk's folder, and the first look at a spreadsheet for which one is made."""

from __future__ import annotations

from pathlib import Path

from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.files.column_map import ColumnMap, load_map, save_map, saved_names
from breakdesk.files.problems import Problem as FileProblem
from breakdesk.files.problems import problem_sentence
from breakdesk.files.sketching import Sketch, sketch


def first_look(_desk: Desk, path: Path, column_map: ColumnMap | None = None) -> Sketch | Problem:
    """The headings of a spreadsheet, what each is taken for, and a few of its cells."""
    found = sketch(path, column_map)
    return Problem(problem_sentence(found)) if isinstance(found, FileProblem) else found


def keep_map(desk: Desk, name: str, column_map: ColumnMap) -> Result:
    """Keeps a match under a name, in place of one that had it."""
    try:
        path = save_map(desk.folder, name, column_map)
    except ValueError as error:
        return Problem(str(error))
    return Done(f"Kept as “{path.stem}”.")


def kept_maps(desk: Desk) -> tuple[str, ...]:
    """The names under which matches are kept."""
    return saved_names(desk.folder)


def kept_map(desk: Desk, name: str) -> ColumnMap | Problem:
    """The match kept under a name."""
    try:
        return load_map(desk.folder, name)
    except ValueError as error:
        return Problem(str(error))
