"""The command `page`: a participant's own page as one HTML file."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, with_desk
from breakdesk.cli.output import say, say_table
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("page")
@click.argument("who", required=False)
@click.option("--all", "everybody", is_flag=True, help="Write a page for everybody who is owed something.")
@click.option(
    "--out", type=click.Path(path_type=Path, file_okay=False), required=True, metavar="FOLDER", help="Where to write."
)
@click.option("--new-name", is_flag=True, help="Give it another name, as when its address was passed on.")
@with_desk
def page_command(desk: Desk, who: str | None, everybody: bool, out: Path, new_name: bool) -> None:
    """Write the page of WHO, or everybody's, into FOLDER: what they are owed, in one HTML file a participant.

    Nobody can guess the name of such a file, and it stays the same until --new-name. Send it, or publish the folder
    without a list of its files. The pages run no script and hold nothing of anyone else, no address and no code.
    """
    from breakdesk.cli.named import person_id
    from breakdesk.desk.pages import everybody_with_a_page, write_pages
    from breakdesk.desk.problems import Problem

    if (who is None) != everybody:
        raise click.UsageError("Say whose page it is, or use --all.")
    people = everybody_with_a_page(desk) if who is None else [person_id(desk, who)]
    written = write_pages(desk, people, out.expanduser(), new_names=new_name)
    if isinstance(written, Problem):
        fail(written.sentence)
    if not written:
        say("Nobody is owed anything.")
        return
    rows = [(page.name, counted(page.cards, "card"), page.path.name) for page in written]
    say_table(("participant", "owed", "file"), rows)
