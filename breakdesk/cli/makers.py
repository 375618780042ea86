"""The command `maker`: what happened to a maker, said once for all its claims."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import report, with_desk
from breakdesk.cli.instants import DAY
from breakdesk.cli.output import say, say_table
from breakdesk.cli.wording import day_words

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("maker")
@click.argument("maker", required=False)
@click.argument("what", required=False)
@click.option("--review", type=DAY, metavar="DAY", help="The day on which you look at it again.")
@click.option("--text", default="", help="What every participant who waits is told, as news.")
@click.option("--successor", default="", metavar="MAKER", help="The maker that carries on.")
@click.option("--keep-asking", is_flag=True, help="Do not put its claims aside in the ask round until then.")
@click.option("--clear", is_flag=True, help="Take the mark off: its claims may be asked about again.")
@with_desk
def maker_command(
    desk: Desk,
    maker: str | None,
    what: str | None,
    review: date | None,
    text: str,
    successor: str,
    keep_asking: bool,
    clear: bool,
) -> None:
    """Mark MAKER and all its claims at once: WHAT happened, such as "has closed" or "was bought". `undo` takes it back.

    On the day of its review it is in the decide round; --review DAY alone names another day. Without arguments it
    lists the makers that are marked.
    """
    from breakdesk.desk.makers import MarkMaker, clear_maker, look_again, mark_maker

    if maker is None:
        _say_marked(desk)
        return
    if clear:
        report(clear_maker(desk, maker))
        return
    if what is None and review is not None:
        report(look_again(desk, maker, review))
        return
    if what is None or review is None:
        raise click.UsageError("Say what happened and with --review DAY when you look at it again.")
    request = MarkMaker(
        maker=maker, what=what, review_on=review, text=text, hold_asks=not keep_asking, successor=successor
    )
    report(mark_maker(desk, request))


def _say_marked(desk: Desk) -> None:
    from breakdesk.desk.makers import marked_makers

    marked = marked_makers(desk)
    if not marked:
        say("No maker is marked.")
        return
    rows = [
        (item.name, item.what, f"{day_words(item.review_on)}{', now' if item.is_due else ''}", item.successor,
         f"{item.claims:,}")
        for item in marked
    ]  # fmt: skip
    say_table(("maker", "what happened", "look again", "carried on by", "claims to fill"), rows, right=(4,))
