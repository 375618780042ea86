"""The commands of a running break: `pull`, `breaks`, `start` and `end`."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.instants import DAY
from breakdesk.cli.output import say, say_problem, say_table
from breakdesk.cli.words import typed_code

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("pull")
@click.argument("break_name", metavar="BREAK")
@click.argument("line", metavar='"ENTRY LINE"')
@click.option("--anyway", is_flag=True, help="Write it down in spite of doubts.")
@click.option("--check", is_flag=True, help="Show the reading and write nothing.")
@click.option("--code", is_flag=True, help="Ask for the claim's code, or read it from standard input.")
@click.option("--for", "owner", metavar="WHO", help="Whose card it is, where the line and the spots do not say.")
@click.option("--product", help="The product that is being opened, where the line does not name it.")
@click.option("--box", type=int, help="The number of the box.")
@click.option("--expires", type=DAY, help="The day on which the claim card expires.")
@click.option("--seen", is_flag=True, help="The code was seen on camera.")
@with_desk
def pull_command(
    desk: Desk,
    break_name: str,
    line: str,
    anyway: bool,
    check: bool,
    code: bool,
    owner: str | None,
    product: str | None,
    box: int | None,
    expires: date | None,
    seen: bool,
) -> None:
    """Write down a claim that came out of BREAK; `-` stands for no break.

    Shows how the line was read and who owns the card. With a doubt nothing is written without --anyway.
    """
    from breakdesk.cli import named
    from breakdesk.cli.reading_page import is_doubtful, say_reading
    from breakdesk.desk.entering import Pull, open_table, pull, read_line
    from breakdesk.rules.entry import Kept
    from breakdesk.rules.ownership import Owner

    break_id = named.break_id(break_name)
    product_id = None if product is None else named.product_id(product)
    table = open_table(desk, break_id)
    kept = Kept(product_id=product_id, box=box, expires_on=expires)
    reading = read_line(table, line, kept, desk.clock.as_of()).best
    whose = None if owner is None else Owner.person(named.person_id(desk, owner))
    say_reading(desk, table, reading, whose)
    if check:
        return
    if is_doubtful(reading, whose) and not anyway:
        fail("Nothing was written down. Say more in the line, or add --anyway if the reading is right.")
    given = typed_code() if code else ""
    request = Pull(break_id=break_id, reading=reading, owner=whose, code=given, seen_on_camera=seen)
    report(pull(desk, request))


@click.command("breaks")
@click.argument("break_name", metavar="[BREAK]", required=False)
@with_desk
def breaks_command(desk: Desk, break_name: str | None) -> None:
    """List the breaks, or the spots and claims of one BREAK."""
    from breakdesk.cli import named
    from breakdesk.cli.wording import weekday_words
    from breakdesk.desk.breaks import list_breaks

    if break_name is not None:
        _say_break(desk, named.break_id(break_name))
        return
    rows = []
    for item in list_breaks():
        night = item.night if isinstance(item.night, date) else None
        state = "running" if item.running else "ended" if item.ended else ""
        rows.append((item.name, weekday_words(night), item.format.replace("_", " "), str(item.claims), state))
    if not rows:
        say("There are no breaks. Load a file of spots.")
        return
    say_table(("break", "night", "format", "claims", "state"), rows, right=(3,))


def _say_break(desk: Desk, break_id: int | None) -> None:
    from breakdesk.cli.named import person_name
    from breakdesk.desk.breaks import claims_of_break, spot_board
    from breakdesk.desk.describing import what_of
    from breakdesk.desk.finding import STATE_WORDS

    if break_id is None:
        fail("Name a break; `breakdesk breaks` lists them.")
    spots = spot_board(desk, break_id)
    rows = [(spot.holds, " & ".join(spot.owners) or "unsold", str(spot.hits)) for spot in spots]
    say_table(("spot", "owner", "claims"), rows, right=(2,))
    claims = claims_of_break(desk, break_id)
    if claims:
        say()
        lines = []
        for claim in claims:
            whose = person_name(desk, claim.owner_id) or claim.owner_kind
            lines.append((claim.tag, what_of(claim), whose, STATE_WORDS[claim.state]))
        say_table(("tag", "card", "for", "state"), lines)


@click.command("start")
@click.argument("break_name", metavar="BREAK")
@click.option("--video", default="", metavar="LINK", help="Where the video can be seen.")
@with_desk
def start_command(desk: Desk, break_name: str, video: str) -> None:
    """Start a break: from now on its clock stamps each claim."""
    from breakdesk.cli import named
    from breakdesk.desk.breaks import start_break

    report(start_break(desk, _needed(named.break_id(break_name)), video))


@click.command("end")
@click.argument("break_name", metavar="BREAK")
@click.option("--counted", type=click.IntRange(min=0), help="How many claim cards lie on the pile.")
@with_desk
def end_command(desk: Desk, break_name: str, counted: int | None) -> None:
    """End a break; with --counted its claims are held against the pile."""
    from breakdesk.cli import named
    from breakdesk.desk.breaks import end_break

    report(end_break(desk, _needed(named.break_id(break_name)), counted))
    if counted is None:
        say_problem("Note: count the claim cards on the pile; with --counted they are held against the list.")


def _needed(break_id: int | None) -> int:
    if break_id is None:
        fail("Name a break; `breakdesk breaks` lists them.")
    return break_id
