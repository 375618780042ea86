"""The command `load`."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import Written, desk_path, fail, on_option, opened
from breakdesk.cli.output import say, say_problem, say_table
from breakdesk.cli.place import own_desk

if TYPE_CHECKING:
    from breakdesk.desk.loading import LoadReport
    from breakdesk.desk.loading.foreseeing import Foretold
    from breakdesk.files.column_map import ColumnMap


@click.command("load")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE…")
@click.option("--check", is_flag=True, help="Say what would be loaded, what is wrong, what would be due.")
@click.option("--map", "map_name", metavar="NAME", help="Read a spreadsheet by the match of columns kept as NAME.")
@click.option("--columns", is_flag=True, help="Show what each column of the first file is taken for; load nothing.")
@click.option("--save-map", metavar="NAME", help="Keep that match of columns as NAME, to be corrected; load nothing.")
@on_option
def load_command(
    files: tuple[Path, ...], check: bool, map_name: str | None, columns: bool, save_map: str | None, on: Written
) -> None:
    """Load CSV or XLSX files: house, makers, participants, checklists, spots, claims.

    The kind of each file is known by its header. Files given together are taken together: all or none. Loading the
    same files again changes nothing. Makes the desk where there is none.
    """
    path = desk_path()
    # A mistyped path must not make a second desk that nobody finds again.
    if not path.parent.is_dir() and path != own_desk():
        fail(f"There is no folder {path.parent}. Make it first, or correct the path of the desk.")
    column_map = None if map_name is None else _kept(path, map_name)
    if columns or save_map is not None:
        _show_columns(path, files[0], column_map, save_map)
        return
    if check and not path.exists():
        with tempfile.TemporaryDirectory(prefix="breakdesk-") as folder:
            _check(Path(folder) / "desk.db", files, on, column_map)
        return
    if check:
        _check(path, files, on, column_map)
        return
    is_new = not path.exists()
    saved = False
    try:
        saved = _load(path, files, on, column_map)
    finally:
        if is_new and not saved:
            _remove(path)


def _kept(path: Path, name: str) -> ColumnMap:
    from breakdesk.files.column_map import load_map
    from breakdesk.store.kept_files import files_folder

    try:
        return load_map(files_folder(path), name)
    except ValueError as error:
        fail(str(error))


def _show_columns(path: Path, file: Path, column_map: ColumnMap | None, name: str | None) -> None:
    from breakdesk.files.column_map import save_map
    from breakdesk.files.problems import Problem, problem_sentence
    from breakdesk.files.sketching import sketch
    from breakdesk.store.kept_files import files_folder

    found = sketch(file, column_map)
    if isinstance(found, Problem):
        fail(problem_sentence(found))
    say(f"{found.file}: taken for {found.kind.value}")
    rows = zip(found.headings, found.columns, strict=True)
    say_table(("your column", "is taken for"), [(heading, column or "left out") for heading, column in rows])
    if name is None:
        return
    try:
        kept = save_map(files_folder(path), name, found.column_map)
    except ValueError as error:
        fail(str(error))
    say()
    say(f'Kept as {kept}. Correct it there or on the screen, then: breakdesk load FILE --map "{kept.stem}"')


def _check(path: Path, files: Sequence[Path], on: Written, column_map: ColumnMap | None) -> None:
    from breakdesk.desk.loading.foreseeing import foresee_load

    with opened(path, on, create=True) as desk:
        found = foresee_load(desk, files, column_map=column_map)
        _say(found.report)
        _say_due(found)


def _load(path: Path, files: Sequence[Path], on: Written, column_map: ColumnMap | None) -> bool:
    from breakdesk.desk.loading import load_files

    with opened(path, on, create=True) as desk:
        found = load_files(desk, files, column_map=column_map)
        _say(found)
    return found.saved


def _say(found: LoadReport) -> None:
    from breakdesk.files.problems import problem_sentence

    for problem in found.problems:
        say_problem(problem_sentence(problem))
    if found.errors:
        fail(found.said)
    say(found.said)


def _say_due(found: Foretold) -> None:
    if found.before is None or found.after is None:
        return
    say()
    rounds = zip(found.before.rounds, found.after.rounds, strict=True)
    heads = ["today", "now", "once it is in"]
    rows = [[old.name, str(old.count), str(new.count)] for old, new in rounds]
    if found.calm is not None:
        heads.append("and with a start line")
        for row, item in zip(rows, found.calm.after.rounds, strict=True):
            row.append(str(item.count))
    say_table(heads, rows)
    if found.calm is not None:
        say()
        say("`breakdesk start-line` spreads what waited before today over some weeks; deadlines stay where they are.")


def _remove(path: Path) -> None:
    """Takes away the empty desk of a load that failed, so that no desk stands where none was wanted."""
    from breakdesk.store.sealing import key_path

    for part in (path, path.with_name(path.name + "-wal"), path.with_name(path.name + "-shm"), key_path(path)):
        part.unlink(missing_ok=True)
