"""The command `start-line`: begin with an old list without being late with all of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_table
from breakdesk.cli.wording import weekday_words

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("start-line")
@click.option(
    "--weeks", type=click.IntRange(0, 26), default=4, show_default=True, help="Over how many weeks; 0 takes it away."
)
@click.option("--check", is_flag=True, help="Show what it would do; change nothing.")
@with_desk
def start_line_command(desk: Desk, weeks: int, check: bool) -> None:
    """Draw a line today: updates and asks that waited before it are spread over some weeks.

    For the first day with an old list. Nobody is late before the day that the line gives them. Deadlines stay where
    they are: what is to be submitted, offers, refusals, decisions, notices of delay, and cards that are here.
    """
    from breakdesk.desk.problems import Problem
    from breakdesk.desk.start_line import draw_start_line, foresee

    foreseen = foresee(desk, weeks)
    if isinstance(foreseen, Problem):
        fail(foreseen.sentence)
    pairs = zip(foreseen.before.rounds, foreseen.after.rounds, strict=True)
    say_table(("today", "now", "with the line"), [(old.name, str(old.count), str(new.count)) for old, new in pairs])
    if foreseen.weeks:
        say()
        rows = [(weekday_words(week.first_day), str(week.people), str(week.claims)) for week in foreseen.weeks]
        say_table(("week from", "people to tell", "claims to ask about"), rows)
    say()
    if check:
        say("Nothing was changed.")
        return
    report(draw_start_line(desk, weeks))
