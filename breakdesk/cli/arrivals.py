"""The command `arrived`: an envelope from a maker, card by card, and whom to write at the end."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_problem, say_table
from breakdesk.cli.wording import weekday_words

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.envelopes import CardLine, CardRead, Envelope
    from breakdesk.desk.recognising import Match

COLUMNS = {
    "card": ("tag", "reference", "code", "label", "line"),
    "serial": ("serial number",),
    "condition": (),
    "as_promised": (),
    "still_owed": (),
    "damaged": ("damage",),
    "came_as": ("came as",),
    "photo": ("photos",),
}
NO = ("no", "n", "false", "0")


@click.command("arrived")
@click.argument("file", required=False, type=click.Path(path_type=Path, dir_okay=False), metavar="[FILE]")
@click.option("--maker", help="Who sent it: claims with other makers come last.")
@click.option("--tracking", default="", help="The number that the maker gave: names what should have been in it.")
@click.option("--counted", type=click.IntRange(min=0), help="How many cards you counted; another number is refused.")
@click.option("--book", is_flag=True, help="Count the cards in. Without it the reading is only shown.")
@click.option("--anyway", is_flag=True, help="Count in those that are sure and leave out the others.")
@click.option("--keep", is_flag=True, help="Keep cards that fit no claim as the house's, to be found out.")
@with_desk
def arrived_command(
    desk: Desk,
    file: Path | None,
    maker: str | None,
    tracking: str,
    counted: int | None,
    book: bool,
    anyway: bool,
    keep: bool,
) -> None:
    """Take an envelope of cards in, one card a line from standard input, or from a table FILE.

    A line is a tag, a reference, a code, or what one sees: player, variation, 7/25. Shows for each card the claim it
    is, what is odd about it, and at the end whom to write. A table has a column card, and may have serial, condition,
    as_promised, still_owed, damaged, photo, and came_as: what stands on a card whose player was not known.
    """
    from breakdesk.cli import named
    from breakdesk.desk.envelopes import book_envelope, keep_stranger, read_envelope, whom_to_write
    from breakdesk.desk.recognising import open_counter

    cards = _cards_from(file) if file is not None else _cards_typed()
    if not cards:
        fail("No card was named. Type one a line, or name a file.")
    maker_id = None if maker is None else named.maker_id(maker)
    envelope = read_envelope(desk, open_counter(desk, maker_id), cards, tracking)
    _say_envelope(desk, envelope)
    strangers = [card for card in envelope.cards if not card.recognised.matches]
    in_doubt = [card for card in envelope.doubtful if card.recognised.matches or not keep]
    if not book:
        say(f"Nothing was counted in yet: add --book. {len(cards)} named, {len(in_doubt)} in doubt.")
        return
    if in_doubt and not anyway:
        fail("Nothing was counted in. Name the doubtful cards by their tags, or leave them out with --anyway.")
    done = []
    if len(envelope.doubtful) < len(envelope.cards) or not strangers:
        done.append(report(book_envelope(desk, envelope, counted)))
    if keep:
        done += [report(keep_stranger(desk, card.card.line, card.card.condition)) for card in strangers]
    people = whom_to_write(desk, [key for one in done for key in one.claims])
    if people:
        say()
        rows = [
            (
                person.name,
                "; ".join(person.cards),
                weekday_words(person.tell_by),
                "ask for the address" if person.ask_address else "",
            )
            for person in people
        ]
        say_table(("write to", "what came", "by", ""), rows)
        _say_complete(desk, {person.person_id for person in people})


def _say_complete(desk: Desk, person_ids: set[int]) -> None:
    from breakdesk.desk.combining import combining

    for item in combining(desk):
        if item.person_id in person_ids and not item.still_to_come:
            say(f"{item.name}'s parcel waits for nothing any more: `breakdesk combine` ends the waiting.")


def _cards_typed() -> list[CardLine]:
    from breakdesk.desk.envelopes import CardLine

    return [CardLine(line=line.strip()[:400]) for line in sys.stdin if line.strip()]


def _cards_from(path: Path) -> list[CardLine]:
    from breakdesk.desk.envelopes import CardLine
    from breakdesk.files.named_rows import read_named_rows

    found = read_named_rows(path, COLUMNS, ["card"])
    if found.problem:
        fail(found.problem)
    if found.unknown:
        say_problem(f"Note: columns that are not known are left out: {', '.join(found.unknown)}.")
    problems = [
        f"{path.name}, line {row.line}: {row.get('serial')} is no serial. Write a whole number."
        for row in found.rows
        if row.get("serial") and not _is_whole(row.get("serial"))
    ]
    problems += [f"{path.name}, line {row.line}: no card is named." for row in found.rows if not row.get("card")]
    if problems:
        fail(*problems)
    return [
        CardLine(
            line=row.get("card")[:400],
            serial=int(row.get("serial")) if row.get("serial") else None,
            condition=row.get("condition"),
            as_promised=row.get("as_promised").casefold() not in NO,
            still_owed=row.get("still_owed"),
            damaged=row.get("damaged"),
            came_as=row.get("came_as"),
            photos=_photos(path, row.get("photo")),
        )
        for row in found.rows
    ]


def _is_whole(text: str) -> bool:
    return text.isdecimal() and text.isascii() and len(text) < 10


def _photos(table: Path, cell: str) -> tuple[Path, ...]:
    """Photos beside the table, or wherever a whole path says."""
    return tuple(table.parent / Path(part.strip()).expanduser() for part in cell.split(";") if part.strip())


def _say_envelope(desk: Desk, envelope: Envelope) -> None:
    for number, card in enumerate(envelope.cards, start=1):
        _say_card(number, card)
    if envelope.expected:
        say("The maker said that these were in it, too:")
        from breakdesk.desk.describing import what_of

        say_table(("", ""), [(claim.tag, what_of(claim)) for claim in envelope.expected])


def _say_card(number: int, card: CardRead) -> None:
    chosen = card.chosen
    if chosen is None:
        matches = card.recognised.matches
        say(f"{number}. {card.card.line}: {'which of these?' if matches else 'fits no claim that waits.'}")
        say_table(("", "", "", ""), _rows(card))
        return
    arrival = chosen.arrival
    serial = f", serial {card.serial}" if card.serial is not None else ""
    say(f"{number}. {card.card.line}: {chosen.claim.tag} {arrival.what}{serial}, for {_owner(chosen)}.")
    for sentence in chosen.odd:
        say(f"   Note: {sentence}")


def _owner(match: Match) -> str:
    words = {"house": "the house", "nobody": "nobody yet", "several": "one of several"}
    return match.arrival.name or words.get(match.claim.owner_kind, "")


def _rows(card: CardRead) -> Sequence[tuple[str, ...]]:
    return [
        (
            f"   {match.claim.tag}",
            match.arrival.what,
            _owner(match),
            " ".join((*match.odd,)),
        )
        for match in card.recognised.matches[:5]
    ]
