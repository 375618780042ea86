"""The commands `damage`, `proof` and `direct`: a card that came damaged, or that never comes here."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_fields, say_table
from breakdesk.cli.wording import weekday_words
from breakdesk.cli.words import OneWord

if TYPE_CHECKING:
    from breakdesk.desk.damage import EvidenceView
    from breakdesk.desk.desk import Desk


@click.command("damage")
@click.argument("tag")
@click.argument("note", nargs=-1)
@with_desk
def damage_command(desk: Desk, tag: str, note: tuple[str, ...]) -> None:
    """Record that the card of TAG came damaged: a claim for another one begins, with its own clocks and evidence."""
    from breakdesk.desk.damage import came_damaged

    report(came_damaged(desk, tag, " ".join(note)))


@click.command("proof")
@click.argument("tag")
@click.argument("piece", nargs=-1)
@click.option("--missing", is_flag=True, help="The piece is missing again.")
@click.option("--sent-back", is_flag=True, help="The damaged card was posted back to the maker.")
@click.option("--tracking", default="", help="The number under which it was posted back.")
@click.option("--came-back", is_flag=True, help="The damaged card came back from the maker.")
@with_desk
def proof_command(
    desk: Desk, tag: str, piece: tuple[str, ...], missing: bool, sent_back: bool, tracking: str, came_back: bool
) -> None:
    """List what the maker wants to see for a claim of damage or of a missing hit, or record that a PIECE is here.

    What each maker wants, and within how many days, are its terms: damage_evidence, damage_within_days and the same
    for a shortage. `breakdesk settle` sets them.
    """
    from breakdesk.desk import damage

    if sent_back and came_back:
        raise click.UsageError("Choose one of --sent-back and --came-back.")
    if sent_back:
        report(damage.send_back(desk, tag, tracking))
    elif came_back:
        report(damage.came_back(desk, tag))
    elif piece:
        report(damage.gather_evidence(desk, tag, " ".join(piece), got=not missing))
    else:
        view = damage.evidence_view(desk, tag)
        if view is None:
            fail(f"{tag} is no claim of damage or of a missing hit, so no evidence is wanted.")
        _say_evidence(view)


def _say_evidence(view: EvidenceView) -> None:
    got = {piece.casefold() for piece in view.got}
    say_table(("piece", ""), [(piece, "here" if piece.casefold() in got else "missing") for piece in view.wanted])
    say()
    say_fields(
        [
            ("file by", weekday_words(view.until) or "no window is settled for this maker"),
            ("photos", str(view.photos)),
            ("posted back", " ".join((weekday_words(view.sent_back_on), view.sent_back_tracking)).strip()),
            ("came back", weekday_words(view.came_back_on)),
        ]
    )


@click.command("direct")
@click.argument("tag")
@click.option("--shipped", is_flag=True, help="The maker sent it straight to the participant.")
@click.option("--tracking", default="", help="The maker's tracking number.")
@click.option("--arrived", is_flag=True, help="The participant says that it came.")
@click.option("--to", "place", type=OneWord(("house", "participant")), help="Correct where the maker sends it.")
@click.option("--note", default="", help="A few words for the history.")
@with_desk
def direct_command(
    desk: Desk, tag: str, shipped: bool, tracking: str, arrived: bool, place: str | None, note: str
) -> None:
    """Follow a card that the maker sends straight to its participant, with no arrival here."""
    from breakdesk.desk import direct

    if shipped + arrived + (place is not None) != 1:
        raise click.UsageError("Choose one of --shipped, --arrived and --to.")
    if place is not None:
        report(direct.set_ship_to(desk, tag, place))
    elif shipped:
        report(direct.maker_shipped(desk, tag, tracking, note))
    else:
        report(direct.participant_has_it(desk, tag, note))
