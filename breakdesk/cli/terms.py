"""The commands `terms` and `settle`: what the house and its makers have settled, and from which day on."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.instants import DAY
from breakdesk.cli.output import say, say_table
from breakdesk.cli.wording import day_words

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.terms import TermView

HOUSE = "house"
CLOSED_DAY = "closed_day"
HOLIDAYS_SHOWN = 6


@click.command("terms")
@click.argument("maker", required=False)
@with_desk
def terms_command(desk: Desk, maker: str | None) -> None:
    """List the terms of the house, or of one MAKER, with every value over time and its first day."""
    from breakdesk.desk.problems import Problem
    from breakdesk.desk.terms import terms_of

    view = terms_of(desk, maker)
    if isinstance(view, Problem):
        fail(view.sentence)
    say_table(("term", "today", "over time"), [(term.name, term.today, _over_time(term)) for term in view.terms])
    if view.noted:
        say()
        say("Noted closed days: " + ", ".join(_named(day, name) for day, name in view.noted))
    today = desk.clock.as_of().date()
    coming = [(day, name) for day, name in view.holidays if today <= day][:HOLIDAYS_SHOWN]
    if coming:
        say()
        say("Next public holidays: " + ", ".join(_named(day, name) for day, name in coming))


def _over_time(term: TermView) -> str:
    parts = []
    for value in term.values:
        since = "" if value.from_day is None else f" from {day_words(value.from_day)}"
        default = " (default)" if value.recorded_at is None else ""
        parts.append(f"{value.value or 'empty'}{default}{since}")
    return "; ".join(parts)


def _named(day: date, name: str) -> str:
    return f"{day.isoformat()} ({name})" if name else day.isoformat()


@click.command("settle")
@click.argument("whose", metavar="house|MAKER")
@click.argument("name")
@click.argument("value")
@click.option("--from", "from_day", type=DAY, metavar="DAY", help="The first day on which it holds; otherwise today.")
@click.option("--since-always", is_flag=True, help="It holds for the past, too.")
@click.option("--drop", is_flag=True, help="With closed_day: the day is no closed day any more.")
@with_desk
def settle_command(
    desk: Desk, whose: str, name: str, value: str, from_day: date | None, since_always: bool, drop: bool
) -> None:
    """Settle the term NAME of the house or of a maker as VALUE, from a day on.

    What is running already keeps the value of the day from which it counts. For a maker, the name closed_day notes
    the day VALUE on which its office is closed. `breakdesk terms` lists the names.
    """
    from breakdesk.desk.terms import Settle, drop_closed_day, note_closed_day, settle

    if from_day is not None and since_always:
        raise click.UsageError("Say --from or --since-always, not both.")
    maker = None if whose.casefold() == HOUSE else whose
    if name == CLOSED_DAY and maker is not None:
        day = DAY.convert(value, None, None)
        report(drop_closed_day(desk, maker, day) if drop else note_closed_day(desk, maker, day))
        return
    if drop:
        raise click.UsageError("--drop goes with closed_day only.")
    report(settle(desk, Settle(maker=maker, name=name, value=value, from_day=from_day, since_always=since_always)))
