"""The command `export`."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import with_desk
from breakdesk.cli.output import say

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.files.writing import SheetToWrite


TABLES = ("house", "makers", "participants", "checklist", "spots", "claims")


@click.command("export")
@click.argument("what", type=click.Choice(["owed", "desk", *TABLES]), default="owed")
@click.option(
    "--out",
    type=click.Path(path_type=Path, file_okay=False),
    metavar="FOLDER",
    help="Where files are written; without it one table is printed as CSV.",
)
@click.option("--format", "form", type=click.Choice(["csv", "xlsx"]), default="csv", show_default=True)
@with_desk
def export_command(desk: Desk, what: str, out: Path | None, form: str) -> None:
    """Write today's owed list, one table of the desk, or the whole desk in the columns that `load` knows.

    Without --out the owed list or one table goes to standard output as CSV, for a pipe. Codes are never exported. The
    tables hold names and addresses: keep them as carefully as the desk.
    """
    from breakdesk.desk.exporting import desk_tables, owed_table

    if out is None and (what == "desk" or form == "xlsx"):
        raise click.UsageError("Only one table as CSV can be printed. Name a folder with --out.")
    tables = [owed_table(desk)] if what == "owed" else desk_tables(desk)
    if what in TABLES:
        tables = [table for table in tables if table.title == what]
    if out is None:
        from breakdesk.files.writing import csv_text

        # In a pipe lines end as this system ends them.
        click.echo(csv_text(tables[0].header, tables[0].rows).replace("\r\n", "\n"), nl=False)
        return
    out.mkdir(parents=True, exist_ok=True)
    for path in _write(tables, out, what, form):
        say(f"Written: {path}")


def _write(tables: Sequence[SheetToWrite], folder: Path, what: str, form: str) -> list[Path]:
    from breakdesk.files.writing import write_csv, write_xlsx

    if form == "xlsx":
        book = folder / f"{what}.xlsx"
        write_xlsx(book, tables)
        return [book]
    paths = []
    for table in tables:
        path = folder / f"{table.title}.csv"
        # Names and addresses are nobody else's business.
        path.touch(mode=0o600)
        with path.open("wb") as file:
            write_csv(file, table.header, table.rows)
        paths.append(path)
    return paths
