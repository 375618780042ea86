"""The command `calendar`."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, with_desk
from breakdesk.cli.output import say
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("calendar")
@click.argument("out", type=click.Path(path_type=Path, dir_okay=False), metavar="OUT.ics")
@with_desk
def calendar_command(desk: Desk, out: Path) -> None:
    """Write deadlines, asks, tellings and reviews of makers for a calendar program (iCalendar, RFC 5545).

    Import it again after writing it again: what moved moves, what is done is cancelled, nothing doubles. Participants
    stand in it by handle or on-air name.
    """
    from breakdesk.desk.calendars import write_calendar_file
    from breakdesk.desk.problems import Problem

    written = write_calendar_file(desk, out)
    if isinstance(written, Problem):
        fail(written.sentence)
    done = f", {counted(written.done, 'earlier one')} cancelled" if written.done else ""
    say(f"{counted(written.entries, 'entry', 'entries')} written to {out}{done}.")
