"""The commands `look` and `answer`: what a maker's page or letter says."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING, TextIO

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.instants import DAY
from breakdesk.cli.output import say, say_table
from breakdesk.cli.wording import day_words
from breakdesk.cli.words import OneWord
from breakdesk.rules.claim import ANSWERS

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.rules.claim import Claim

_MOVED = OneWord((*ANSWERS, "in_hand"))


@click.command("look")
@click.argument("maker")
@click.argument("moved", nargs=-1, metavar="[TAG WORD]…")
@click.option("--unchanged", is_flag=True, help="All the others stand on the page as before.")
@click.option("--page", type=click.File(encoding="utf-8"), help="The page's text, or - for what is pasted: compare.")
@with_desk
def look_command(desk: Desk, maker: str, moved: tuple[str, ...], unchanged: bool, page: TextIO | None) -> None:
    """Read MAKER's status page: list what is with them, or record what moved and that the rest did not.

    WORD is no_news, waits_signer, being_made, on_its_way, offers, refuses or in_hand. A look is free and never an ask.
    """
    from breakdesk.cli import named
    from breakdesk.desk.maker_page import waiting_claims

    if page is not None:
        if moved or unchanged:
            raise click.UsageError("--page only compares; record what moved in a second step.")
        _say_page(desk, maker, page.read())
        return
    if len(moved) % 2:
        raise click.UsageError("Give a word for every tag: look MAKER TAG WORD TAG WORD.")
    pairs = [(tag, _MOVED.convert(word, None, None)) for tag, word in zip(moved[::2], moved[1::2], strict=True)]
    key = named.maker_id(maker)
    waiting = waiting_claims(desk, key)
    if not pairs and not unchanged:
        _say_waiting(waiting)
        return
    moving = [named.claim_of(desk, tag).tag for tag, _ in pairs]
    strangers = sorted(set(moving) - {claim.tag for claim in waiting})
    if strangers:
        fail(*(f"Claim {tag} does not wait with {maker}." for tag in strangers))
    for tag, word in pairs:
        _record(desk, tag, word)
    from breakdesk.desk.looking import look

    rest = [claim.tag for claim in waiting if claim.tag not in moving and claim.state == "submitted"]
    report(look(desk, maker, rest if unchanged else [], len(pairs)))


def _say_page(desk: Desk, maker: str, text: str) -> None:
    """What a pasted page says of the maker's claims, and what differs from what the desk knows; nothing is saved."""
    from breakdesk.desk.asking import ANSWER_WORDS
    from breakdesk.desk.looking import match_page
    from breakdesk.desk.problems import Problem

    found = match_page(desk, maker, text)
    if isinstance(found, Problem):
        fail(found.sentence)
    say(f"{len(found.matches)} found on the page, {len(found.moved)} seem to have moved. Nothing is saved.")
    if found.matches:
        rows = [
            (match.claim.reference, match.claim.tag, "moved" if match.differs else "",
             ANSWER_WORDS.get(match.reads_as or "", "?"), ANSWER_WORDS.get(match.known or "", ""), match.words)
            for match in found.matches
        ]  # fmt: skip
        say_table(("reference", "tag", "", "page seems to say", "known", "words on the page"), rows)
    if found.missing:
        say("Not on the page: " + ", ".join(claim.reference or claim.tag for claim in found.missing))
    if found.unknown:
        say("On the page but not waiting here: " + ", ".join(found.unknown))


def _say_waiting(claims: Sequence[Claim]) -> None:
    from breakdesk.desk.asking import ANSWER_WORDS
    from breakdesk.desk.describing import what_of

    if not claims:
        say("Nothing waits with this maker.")
        return
    rows = []
    for claim in claims:
        last = ANSWER_WORDS.get(claim.answer or "", "") if claim.state == "submitted" else "offers a replacement"
        rows.append((claim.reference, claim.tag, day_words(claim.submitted_on), what_of(claim), last))
    say_table(("reference", "tag", "submitted", "card", "last answer"), rows)


def _record(desk: Desk, tag: str, word: str) -> None:
    if word == "in_hand":
        from breakdesk.desk.arriving import InHand, in_hand

        report(in_hand(desk, InHand(tag=tag)))
        return
    from breakdesk.desk.asking import Answer, answer

    report(answer(desk, Answer(tags=[tag], word=word)))


@click.command("answer")
@click.argument("tags_and_word", nargs=-1, required=True, metavar="TAG… WORD")
@click.option("--note", default="", help="What else the maker wrote.")
@click.option("--days", type=int, help="When to ask next, in days from the ask.")
@click.option("--offer", default="", help="What the maker offers instead.")
@click.option("--worth", default="", help="What the offered card is worth, such as 40 or 40.00 EUR.")
@click.option("--reply-by", type=DAY, help="The last day on which the maker takes a reply to the offer.")
@click.option("--tracking", default="", help="The tracking number of what is on its way to the house.")
@with_desk
def answer_command(
    desk: Desk,
    tags_and_word: tuple[str, ...],
    note: str,
    days: int | None,
    offer: str,
    worth: str,
    reply_by: date | None,
    tracking: str,
) -> None:
    """Record what a maker answered about claims.

    WORD is no_news, waits_signer, being_made, on_its_way, offers or refuses.
    """
    from breakdesk.desk.asking import Answer, answer

    *tags, last = tags_and_word
    if not tags:
        raise click.UsageError("Name the claims, then the answer: answer TAG TAG WORD.")
    word = OneWord(ANSWERS).convert(last, None, None)
    if word != "offers" and (offer or worth or reply_by):
        raise click.UsageError("--offer, --worth and --reply-by belong to the answer `offers`.")
    request = Answer(
        tags=tags,
        word=word,
        note=note,
        days=days,
        inbound_tracking=tracking,
        offer=offer,
        offer_value=worth,
        reply_by=reply_by,
    )
    report(answer(desk, request))
