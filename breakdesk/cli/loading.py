"""The command `load`."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import Written, desk_path, fail, on_option, opened
from breakdesk.cli.output import say, say_problem

if TYPE_CHECKING:
    from breakdesk.desk.loading import LoadReport


@click.command("load")
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path), metavar="FILE…")
@click.option("--check", is_flag=True, help="Say what would be loaded and what is wrong; write nothing.")
@on_option
def load_command(files: tuple[Path, ...], check: bool, on: Written) -> None:
    """Load CSV or XLSX files: house, makers, participants, checklists, spots, claims.

    The kind of each file is known by its header. Files given together are taken together: all or none. Loading the
    same files again changes nothing. Makes the desk where there is none.
    """
    path = desk_path()
    if check and not path.exists():
        with tempfile.TemporaryDirectory(prefix="breakdesk-") as folder:
            _load(Path(folder) / "desk.db", files, on, check=True)
        return
    is_new = not path.exists()
    saved = False
    try:
        saved = _load(path, files, on, check=check)
    finally:
        if is_new and not saved:
            _remove(path)


def _load(path: Path, files: Sequence[Path], on: Written, *, check: bool) -> bool:
    from breakdesk.desk.loading import load_files

    with opened(path, on, create=True) as desk:
        found = load_files(desk, files, check_only=check)
        _say(found)
    return found.saved


def _say(found: LoadReport) -> None:
    from breakdesk.files.problems import problem_sentence

    for problem in found.problems:
        say_problem(problem_sentence(problem))
    if found.errors:
        fail(found.said)
    say(found.said)


def _remove(path: Path) -> None:
    """Takes away the empty desk of a load that failed, so that no desk stands where none was wanted."""
    from breakdesk.store.sealing import key_path

    for part in (path, path.with_name(path.name + "-wal"), path.with_name(path.name + "-shm"), key_path(path)):
        part.unlink(missing_ok=True)
