"""The commands `close`, `void` and `note`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import report, with_desk
from breakdesk.cli.words import OneWord
from breakdesk.rules.claim import CLOSINGS, FAULTS

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("close")
@click.argument("tag")
@click.argument("how", type=OneWord(CLOSINGS), metavar="HOW")
@click.option("--amount", default="", help="How much, such as 25.00 or 25.00 EUR.")
@click.option("--fault", type=OneWord(FAULTS), default=None, help="Whose fault a bad end was.")
@click.option("--reason", default="", help="A few words for the history.")
@with_desk
def close_command(desk: Desk, tag: str, how: str, amount: str, fault: str | None, reason: str) -> None:
    """End what is owed on a claim.

    HOW is delivered, given, refunded, credited, replaced, bought_out, terms, unclaimed or kept. Where the card is still
    to come the claim goes on for the house. What a refund must be is for the law of your place and your own terms:
    the desk records it and advises nothing.
    """
    from breakdesk.desk.settling import Close, close

    report(close(desk, Close(tag=tag, how=how, amount=amount, fault=fault or "", reason=reason)))


@click.command("void")
@click.argument("tag")
@click.option("--reason", required=True, help="Why it was a mistake; it stays in the history.")
@with_desk
def void_command(desk: Desk, tag: str, reason: str) -> None:
    """Take out a claim that was entered by mistake; its history stays."""
    from breakdesk.desk.settling import void

    report(void(desk, tag, reason))


@click.command("note")
@click.argument("tag")
@click.argument("text", nargs=-1, required=True)
@click.option("--news", is_flag=True, help="The participant is to be told of it.")
@with_desk
def note_command(desk: Desk, tag: str, text: tuple[str, ...], news: bool) -> None:
    """Write a note on a claim."""
    from breakdesk.desk.following import note

    report(note(desk, tag, " ".join(text), is_news=news))
