"""The command `verify`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, with_desk
from breakdesk.cli.output import say, say_problem
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("verify")
@with_desk
def verify_command(desk: Desk) -> None:
    """Prove that history and state agree: the chain, every claim replayed, every due day, every photo, the file."""
    from breakdesk.desk import checking
    from breakdesk.desk.holidays import holidays_that_differ

    differences = list(checking.verify(desk))
    if differences:
        fail(*differences)
    for sentence in holidays_that_differ(desk):
        say_problem(f"Note: {sentence} Settle the maker's country again to have them noted anew.")
    actions, claims = checking.counted(desk)
    say(f"All agree: {counted(actions, 'action')} in the history, {counted(claims, 'claim')} replayed.")
