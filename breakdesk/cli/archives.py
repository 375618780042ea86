"""The commands `archive` and `unarchive`."""

from __future__ import annotations

from pathlib import Path

import click

from breakdesk.cli.common import desk_path, fail
from breakdesk.cli.output import say, say_problem
from breakdesk.cli.words import OneWord


@click.command("archive")
@click.argument("folder", type=click.Path(path_type=Path))
@click.option(
    "--format", "form", type=OneWord(("json", "csv")), default="json", show_default=True, help="JSON lines, or CSV."
)
def archive_command(folder: Path, form: str) -> None:
    """Write the whole desk into FOLDER as open files: one file a table, photos, wording, and a schema that explains.

    Nothing is left out; codes stay sealed. The files hold names and addresses: keep them as carefully as the desk.
    """
    from breakdesk.desk.archive import archive
    from breakdesk.desk.clock import Clock
    from breakdesk.desk.problems import Problem

    done = archive(desk_path(), folder, Clock(), form)
    if isinstance(done, Problem):
        fail(done.sentence)
    say(f"Written: {done.path}: {done.said}")
    for sentence in done.missing:
        say_problem(f"Note: {sentence}")


@click.command("unarchive")
@click.argument("folder", type=click.Path(path_type=Path))
@click.argument("new", type=click.Path(path_type=Path, dir_okay=False))
def unarchive_command(folder: Path, new: Path) -> None:
    """Make a new desk NEW from an archive in FOLDER; all of it, each table and file compared, or nothing."""
    from breakdesk.desk.archive import unarchive
    from breakdesk.desk.problems import Problem

    done = unarchive(folder, new)
    if isinstance(done, Problem):
        fail(done.sentence)
    say(f"Written and compared: {done.path}: {done.said}")
    for sentence in done.missing:
        say_problem(f"Note: {sentence}")
