"""The commands about parcels beside packing them: `postage`, `parcel` and `combine`."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.instants import DAY
from breakdesk.cli.output import say, say_fields, say_problem, say_table
from breakdesk.cli.wording import weekday_words
from breakdesk.rules.parcel_states import STATE_WORDS
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.parcel_details import ParcelDetails
    from breakdesk.desk.postage_back import ForeseenPostage

CAUTION = (
    "What is covered is for the conditions of the carrier and of the insurer to say; the desk only keeps the days."
)


@click.command("postage")
@click.option(
    "--out", "out", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help="Write the parcels."
)
@click.option("--pack", is_flag=True, help="First pack a parcel for everybody whose address is confirmed.")
@click.option("--in", "back", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE", help="Read the numbers.")
@click.option("--check", is_flag=True, help="Only show what came back, and save nothing.")
@click.option("--leave", is_flag=True, help="Let every parcel leave whose steps are done.")
@with_desk
def postage_command(desk: Desk, out: Path | None, pack: bool, back: Path | None, check: bool, leave: bool) -> None:
    """Write the packed parcels as a table for wherever you buy postage, and read their tracking numbers back.

    The table has the parcel's number, name, address, weight and value. What comes back needs the columns parcel and
    tracking, and may have cost and insured; it is taken whole or not at all.
    """
    if (out is None) == (back is None):
        raise click.UsageError("Use --out to write the parcels, or --in to read what came back.")
    if back is not None:
        if pack:
            raise click.UsageError("--pack goes with --out.")
        _read_back(desk, back, check, leave)
        return
    if check or leave:
        raise click.UsageError("--check and --leave go with --in.")
    assert out is not None
    _write_out(desk, out, pack)


def _write_out(desk: Desk, out: Path, pack: bool) -> None:
    from breakdesk.desk.postage import pack_everything, write_postage
    from breakdesk.desk.problems import Problem

    if pack:
        for result in pack_everything(desk):
            say_problem(result.sentence) if isinstance(result, Problem) else say(result.said)
    written = write_postage(desk, out)
    if isinstance(written, Problem):
        fail(written.sentence)
    say(f"{counted(written, 'parcel')} in {out.name}.")


def _read_back(desk: Desk, path: Path, check: bool, leave: bool) -> None:
    from breakdesk.desk.postage_back import foresee_postage, leave_together, read_bought, take_postage
    from breakdesk.desk.problems import Problem

    bought = read_bought(path)
    if isinstance(bought, Problem):
        fail(bought.sentence)
    rows = foresee_postage(desk, bought)
    say_table(("parcel", "tracking", "standard", "cost", "insured for", ""), [_foreseen(row) for row in rows])
    if check:
        problems = [row.problem.sentence for row in rows if row.problem is not None]
        if problems:
            fail(*problems)
        say("Nothing was saved yet: leave out --check.")
        return
    report(take_postage(desk, bought))
    if leave:
        report(leave_together(desk, [row.parcel_id for row in rows if row.parcel_id is not None]))


def _foreseen(row: ForeseenPostage) -> tuple[str, ...]:
    from breakdesk.desk.settling import amount_words

    note = "cannot be taken" if row.problem is not None else "in doubt" if row.doubt else ""
    money = [amount_words(amount, row.currency) for amount in (row.cost, row.insured)]
    return (str(row.parcel_id or row.bought.parcel), row.tracking or row.bought.tracking, row.standard, *money, note)


@click.command("parcel")
@click.argument("number", type=int, required=False)
@click.option("--line", "lines", multiple=True, help="What else is in it, such as “3 other hits”; several are kept.")
@click.option("--gift-note", default=None, help="A note that goes with it; shown while packing.")
@click.option("--weight", type=int, help="Its weight in grams.")
@click.option("--to", "name", help="Somebody else to whom it goes; with --address.")
@click.option("--address", default="", help="The other person's address as it was given.")
@click.option("--country", default="", help="Its country as a code of two letters (ISO 3166).")
@click.option("--to-participant", is_flag=True, help="It goes to its participant again.")
@click.option("--loss-reported", is_flag=True, help="Its loss was reported to the carrier or the insurer.")
@click.option("--note", default="", help="A few words for the history of the report.")
@with_desk
def parcel_command(
    desk: Desk,
    number: int | None,
    lines: tuple[str, ...],
    gift_note: str | None,
    weight: int | None,
    name: str | None,
    address: str,
    country: str,
    to_participant: bool,
    loss_reported: bool,
    note: str,
) -> None:
    """List what is due next with the parcels that left, or show or change the parcel of this NUMBER."""
    from breakdesk.desk.parcel_details import Contents, parcel_details, report_loss, send_to, set_contents

    if number is None:
        _say_under_way(desk)
        return
    if loss_reported:
        report(report_loss(desk, number, note))
        return
    changed = False
    if lines or gift_note is not None or weight is not None:
        contents = Contents(lines=lines or None, gift_note=gift_note, weight_grams=weight)
        report(set_contents(desk, number, contents))
        changed = True
    if name is not None or to_participant:
        report(send_to(desk, number, "" if to_participant else name or "", address, country))
        changed = True
    if changed:
        return
    details = parcel_details(desk, number)
    if details is None:
        fail(f"There is no parcel {number}. `breakdesk ship` lists them.")
    _say_parcel(details)


def _say_parcel(parcel: ParcelDetails) -> None:
    from breakdesk.desk.describing import what_of
    from breakdesk.desk.settling import amount_words

    say_fields(
        [
            ("parcel", str(parcel.id)),
            ("for", parcel.participant),
            ("goes to", f"{parcel.to_name} (a gift)" if parcel.is_gift else ""),
            ("address", ", ".join([*parcel.address.splitlines(), parcel.country]).strip(", ")),
            ("state", STATE_WORDS[parcel.state]),
            ("cards", "; ".join(f"{claim.tag} {what_of(claim)}" for claim in parcel.claims)),
            ("also in it", "; ".join(parcel.lines)),
            ("note", parcel.gift_note),
            ("weight", f"{parcel.weight_grams} g" if parcel.weight_grams else ""),
            ("tracking", " ".join(part for part in (parcel.tracking, parcel.standard) if part)),
            ("postage", amount_words(parcel.cost, parcel.currency)),
            ("insured for", amount_words(parcel.insured, parcel.currency)),
            ("left", weekday_words(parcel.shipped_on)),
            ("loss reported", weekday_words(parcel.loss_reported_on)),
        ]
    )


def _say_under_way(desk: Desk) -> None:
    from breakdesk.desk.parcel_details import after_it_left

    found = after_it_left(desk)
    if not found:
        say("No parcel is under way, and none is in trouble.")
        return
    rows = [
        (
            str(item.parcel.id),
            item.parcel.participant,
            STATE_WORDS[item.parcel.state],
            item.next.words,
            weekday_words(item.next.by),
            weekday_words(item.tell_by),
        )
        for item in found
    ]
    say_table(("parcel", "participant", "state", "next", "by", "tell them by"), rows)
    say(CAUTION)


@click.command("combine")
@click.argument("who", required=False)
@click.option("--until", type=DAY, help="Until when; otherwise as long as the house lets a card wait.")
@click.option("--reason", default="", help="What it waits for: other cards, the next order.")
@click.option("--end", is_flag=True, help="It waits no longer.")
@with_desk
def combine_command(desk: Desk, who: str | None, until: date | None, reason: str, end: bool) -> None:
    """Let the parcel of WHO wait for other cards or the next order, or list whose parcels wait."""
    from breakdesk.desk.combining import combine, combining, end_combining

    if who is None:
        if until or reason or end:
            raise click.UsageError("Say whose parcel it is.")
        waiting = combining(desk)
        rows = [
            (
                item.name,
                weekday_words(item.until),
                ", ".join(claim.tag for claim in item.here),
                ", ".join(claim.tag for claim in item.still_to_come) or "nothing: it can go now",
                item.reason,
            )
            for item in waiting
        ]
        if rows:
            say_table(("participant", "until", "here", "still to come", "why"), rows)
        else:
            say("No parcel waits for other cards.")
    elif end:
        report(end_combining(desk, who))
    else:
        report(combine(desk, who, until, reason))
