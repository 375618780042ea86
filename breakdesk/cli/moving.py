"""The command `move`."""

from __future__ import annotations

from pathlib import Path

import click

from breakdesk.cli.common import fail
from breakdesk.cli.output import say
from breakdesk.cli.place import DeskPlace


@click.command("move")
@click.argument("source", type=DeskPlace())
@click.argument("target", type=DeskPlace())
def move_command(source: Path, target: Path) -> None:
    """Copy the whole desk SOURCE to TARGET: from a file to a server (postgresql://USER@HOST/DATABASE) or back.

    The target is a new file or an empty database. Everything is compared at both ends, by counts, sums and the hashes
    of the history, before it counts; the source stays as it was.
    """
    from breakdesk.desk.moving import move
    from breakdesk.desk.problems import Problem

    done = move(source, target)
    if isinstance(done, Problem):
        fail(done.sentence)
    for sentence in done.said:
        say(sentence)
