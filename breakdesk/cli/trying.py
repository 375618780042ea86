"""The command `try`: a throwaway desk to play with."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import Written, fail, on_option, opened
from breakdesk.cli.output import say

if TYPE_CHECKING:
    from breakdesk.desk.clock import Clock
    from breakdesk.desk.desk import Desk

CARDS_SHOWN = 3


@click.command("try")
@click.option("--print", "as_text", is_flag=True, help="Print its lists instead of opening the screen.")
@on_option
def try_command(as_text: bool, on: Written) -> int:
    """Open a throwaway desk of an invented break house, true today, to play with; it is gone afterwards.

    Where there is no terminal, or with --print, its five lists and a few of the people it owes are printed.
    """
    from breakdesk.cli.screen import has_terminal
    from breakdesk.desk.throwaway import throwaway_folder

    with throwaway_folder() as folder:
        path = folder / "sample.db"
        clock = _make(path, on)
        if as_text or not has_terminal():
            with opened(path, on) as desk:
                _print(desk)
            return 0
        from breakdesk.tui.app import run_screen

        return run_screen(path, clock)


def _make(path: Path, on: Written) -> Clock | None:
    """Makes the sample desk; returns the clock that it was made for, None for the machine's own."""
    from breakdesk.desk.sample import add_stories, fill

    with opened(path, create=True) as desk:
        made = desk if on is None else desk.at(_sample_clock(on))
        report = fill(made)
        if report.errors or not report.saved:
            fail("The files of the sample desk are missing or damaged. Install Breakdesk again.")
        add_stories(made)
        return None if on is None else made.clock


def _sample_clock(on: Written) -> Clock:
    """The clock for an instant that was named before the desk has a house whose zone it could be in."""
    from datetime import UTC, datetime

    from breakdesk.desk.clock import Clock
    from breakdesk.desk.sample import ZONE
    from breakdesk.rules.zones import resolve_local, start_of_day

    if not isinstance(on, datetime):
        if on is None:
            raise ValueError("no instant was named")
        return Clock(named=start_of_day(on, ZONE))
    if on.tzinfo is not None:
        return Clock(named=on.astimezone(UTC))
    try:
        return Clock(named=resolve_local(on, ZONE))
    except ValueError as error:
        raise click.BadParameter(str(error), param_hint="--on") from None


def _print(desk: Desk) -> None:
    from breakdesk.cli.owed_lists import say_owed_by_one
    from breakdesk.cli.today_lists import say_today
    from breakdesk.desk.viewing import owed, today

    say_today(today(desk))
    people = [item for item in owed(desk) if item.person_id is not None]
    most = sorted(people, key=lambda item: -len(item.claims))[:CARDS_SHOWN]
    say()
    say("OWED: three of the people who wait for most.")
    for item in most:
        say()
        say_owed_by_one(desk, [item])
    say()
    say("This was a sample desk; nothing of it is kept. `breakdesk load FILE…` makes your own.")
