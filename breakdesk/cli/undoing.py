"""The command `undo`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_table

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


MOST_LOOKED_THROUGH = 200
"""How far back `undo` looks: each undoing is an action itself, so that twenty would end after ten."""


@click.command("undo")
@click.argument("number", type=int, required=False)
@click.option("--list", "as_list", is_flag=True, help="List the latest actions with their numbers.")
@with_desk
def undo_command(desk: Desk, number: int | None, as_list: bool) -> None:
    """Take the latest action on a claim back, or the one with NUMBER; undoing an undo does the action again."""
    from breakdesk.desk.undoing import last_actions, latest_that_counts, undo

    found = last_actions(20 if as_list else MOST_LOOKED_THROUGH)
    if as_list:
        if not found:
            say("Nothing was done that could be taken back.")
            return
        rows = [(str(item.number), item.words, item.names) for item in found]
        say_table(("number", "action", "claims"), rows, right=(0,))
        return
    if number is None:
        key = latest_that_counts(found)
        if key is None:
            fail("There is nothing to take back.")
    else:
        key = next((item.key for item in found if item.number == number), None)
        if key is None:
            fail(f"Action {number} is not among the latest that can be taken back. `breakdesk undo --list` shows them.")
    report(undo(desk, key))
