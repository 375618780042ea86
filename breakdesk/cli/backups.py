"""The commands `backup`, `backups` and `restore`."""

from __future__ import annotations

from pathlib import Path

import click

from breakdesk.cli.common import desk_path, fail
from breakdesk.cli.output import say, say_problem, say_table

A_FILE = click.Path(path_type=Path, dir_okay=False)


@click.command("backup")
@click.argument("path", type=A_FILE, required=False)
def backup_command(path: Path | None) -> None:
    """Copy the desk, its photos and its wording into its backups, or to PATH, while it may be in use, and prove it.

    The screen does this by itself when it starts, each hour and when it ends. Keep a copy on another disk: backups
    beside the desk do not survive the loss of the machine. The key file is not in a backup.
    """
    from breakdesk.desk.backups import back_up
    from breakdesk.desk.clock import Clock
    from breakdesk.desk.problems import Problem

    made = back_up(desk_path(), Clock(), path)
    if isinstance(made, Problem):
        fail(made.sentence)
    say(f"Written and proved: {made.path}")
    for note in made.notes:
        say_problem(f"Note: {note}")
    say("Codes in it are sealed, and the key file is not in it: keep that, or a recovery key, somewhere else.")


@click.command("backups")
def backups_command() -> None:
    """List the desk's own backups, newest first, each checked now."""
    from breakdesk.desk.backups import list_backups, made_elsewhere

    elsewhere = made_elsewhere(desk_path())
    if elsewhere is not None:
        fail(elsewhere.sentence)
    found = list_backups(desk_path())
    if not found:
        say("This desk has no backups yet. `breakdesk backup` makes one.")
        return
    rows = [
        (
            f"{backup.made_at:%Y-%m-%d %H:%M} UTC",
            f"{backup.size / 1_000_000:.1f} MB",
            faults[0] if faults else "sound",
            str(backup.path),
        )
        for backup, faults in found
    ]
    say_table(("Made", "Size", "State", "File"), rows, right=(1,))


@click.command("restore")
@click.argument("backup", type=A_FILE)
@click.argument("new", type=A_FILE)
def restore_command(backup: Path, new: Path) -> None:
    """Make a new desk NEW from a BACKUP, with its photos and wording; the backup and the desk in use stay as they are.

    Look at the new desk with `breakdesk --desk NEW today` before you put it in the old one's place.
    """
    from breakdesk.desk import backups
    from breakdesk.desk.problems import Problem

    made = backups.restore(backup, new, desk_path())
    if isinstance(made, Problem):
        fail(made.sentence)
    say(f"Written and proved: {made.path}")
    say(made.said)
    for sentence in made.missing:
        say_problem(f"Note: {sentence}")
