"""The commands `consent`, `sell`, `card` and `knew`: what was agreed, what was lost, and who knew a code."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_table
from breakdesk.cli.wording import instant_words, weekday_words
from breakdesk.cli.words import OneWord
from breakdesk.rules.claim import ENDING_THE_HOUSES_DEBT

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("consent")
@click.argument("tag")
@click.argument("to", type=OneWord(ENDING_THE_HOUSES_DEBT), metavar="HOW")
@click.argument("said", nargs=-1, required=True)
@with_desk
def consent_command(desk: Desk, tag: str, to: str, said: tuple[str, ...]) -> None:
    """Keep that a participant agreed to be refunded, credited, replaced or bought_out, and how they said so.

    Where the house settled `consent_needed on`, `close` asks for it. Whether it is enough is for the law of your place.
    """
    from breakdesk.desk.consent import record_consent

    report(record_consent(desk, tag, to, " ".join(said)))


@click.command("sell")
@click.argument("tag")
@click.argument("said", nargs=-1)
@click.option("--sold", metavar="AMOUNT", help="It was sold; this is what the participant gets.")
@with_desk
def sell_command(desk: Desk, tag: str, said: tuple[str, ...], sold: str | None) -> None:
    """Keep a card that is here and sell it for its participant, as agreed in a few words."""
    from breakdesk.desk.consent import keep_and_sell, sold_for_them

    words = " ".join(said)
    report(keep_and_sell(desk, tag, words) if sold is None else sold_for_them(desk, tag, sold, words))


@click.command("card")
@click.argument("tag")
@click.option("--lost", metavar="WHO", help="The claim card cannot be found; who had it last, or where it lay.")
@click.option("--video", type=click.IntRange(min=0), metavar="SECONDS", help="Where in the video it was last seen.")
@click.option("--found", is_flag=True, help="It is here again.")
@click.option("--note", default="", help="Where it was found.")
@with_desk
def card_command(desk: Desk, tag: str, lost: str | None, video: int | None, found: bool, note: str) -> None:
    """Record that a claim card cannot be found, or that it was.

    It waits among the decisions meanwhile. Where it stays lost, make it good with `close … --fault house`.
    """
    from breakdesk.desk.lost_cards import card_is_found, card_is_lost

    if (lost is None) != found:
        raise click.UsageError("Choose one of --lost and --found.")
    report(card_is_found(desk, tag, note) if lost is None else card_is_lost(desk, tag, lost, video))


@click.command("knew")
@click.argument("tag")
@with_desk
def knew_command(desk: Desk, tag: str) -> None:
    """List who saw or received the code of a claim, and when."""
    from breakdesk.desk.lost_cards import who_knew_the_code
    from breakdesk.store.parties import read_house

    known = who_knew_the_code(tag)
    if known is None:
        fail(f"There is no claim {tag}.")
    if not known:
        say("Nobody is known to have seen its code.")
        return
    zone = read_house().zone_at(desk.clock.as_of())
    rows = [(instant_words(one.at, zone) or weekday_words(one.day), one.how, one.who) for one in known]
    say_table(("when", "what", "who"), rows)
