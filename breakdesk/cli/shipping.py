"""The commands `in-hand` and `ship`: a card comes, is packed, leaves, and arrives."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.ship_cards import OpenParcel


@click.command("in-hand")
@click.argument("tag")
@click.option("--serial", type=int, help="The serial on the card.")
@click.option("--condition", default="", help="What its condition is.")
@click.option("--still-owed", default="", metavar="WHAT", help="What did not come: it waits on as a claim of its own.")
@click.option("--damaged", default="", metavar="HOW", help="How it came damaged: another one is claimed.")
@click.option("--came-as", default="", metavar="LINE", help="What stands on it, where its player was not known.")
@click.option("--not-as-promised", is_flag=True, help="The card is not the one that was promised.")
@with_desk
def in_hand_command(
    desk: Desk,
    tag: str,
    serial: int | None,
    condition: str,
    still_owed: str,
    damaged: str,
    came_as: str,
    not_as_promised: bool,
) -> None:
    """Record that a claim's card is here."""
    from breakdesk.desk.arriving import InHand, in_hand

    request = InHand(
        tag=tag,
        serial=serial,
        condition=condition,
        as_promised=not not_as_promised,
        still_owed=still_owed,
        damaged=damaged,
        came_as=came_as,
    )
    report(in_hand(desk, request))


@click.command("ship")
@click.argument("what", required=False, metavar="[WHO|PARCEL|TAG]")
@click.option("--tag", "tags", multiple=True, help="Only this card; may be given several times.")
@click.option("--tracking", default="", help="The tracking number: the parcel left.")
@click.option("--steps-done", is_flag=True, help="All steps of packing are done: the parcel left.")
@click.option("--reason", default="", help="Why it leaves with open steps; or what happened to it.")
@click.option("--delivered", is_flag=True, help="The parcel arrived.")
@click.option("--lost", is_flag=True, help="The parcel was lost.")
@click.option("--damaged", is_flag=True, help="It was damaged on the way.")
@click.option("--not-delivered", is_flag=True, help="They say that it did not come.")
@click.option("--returned", is_flag=True, help="The parcel came back.")
@with_desk
def ship_command(
    desk: Desk,
    what: str | None,
    tags: tuple[str, ...],
    tracking: str,
    steps_done: bool,
    reason: str,
    delivered: bool,
    lost: bool,
    damaged: bool,
    not_delivered: bool,
    returned: bool,
) -> None:
    """Pack and ship the cards of WHO, or record what became of a PARCEL (by its number, or a TAG in it).

    Without WHO lists who can be shipped to and which parcels are under way. `ship WHO` packs a parcel and lists its
    steps; with --tracking, --steps-done or --reason it leaves.
    """
    from breakdesk.cli import parcels

    said = {
        "delivered": delivered,
        "lost": lost,
        "damaged": damaged,
        "not_delivered": not_delivered,
        "returned": returned,
    }
    ends = [word for word, is_given in said.items() if is_given]
    if len(ends) > 1:
        raise click.UsageError("Choose one of --delivered, --lost, --damaged, --not-delivered and --returned.")
    if what is None:
        if ends or tags or tracking or reason or steps_done:
            raise click.UsageError("Say whose parcel it is, or which.")
        parcels.say_parcels(desk)
    elif ends:
        parcels.end_parcel(desk, what, ends[0], reason)
    else:
        parcel = parcels.packed(desk, what, tags)
        if not (tracking or reason or steps_done):
            parcels.say_steps(parcel)
            return
        if steps_done:
            _tick_all(desk, parcel)
        _leave(desk, parcel.id, tracking, reason)


def _tick_all(desk: Desk, parcel: OpenParcel) -> None:
    from breakdesk.desk.problems import Problem
    from breakdesk.desk.shipping import tick

    for step in parcel.open_steps:
        result = tick(desk, step.id) if step.mandatory else None
        if isinstance(result, Problem):
            fail(result.sentence)


def _leave(desk: Desk, parcel_id: int, tracking: str, reason: str) -> None:
    from breakdesk.desk.problems import Problem
    from breakdesk.desk.shipping import Ship, ship

    result = ship(desk, Ship(parcel_id=parcel_id, tracking=tracking, reason=reason))
    if isinstance(result, Problem):
        fail(result.sentence, f"Parcel {parcel_id} is packed and waits. --steps-done or --reason lets it leave.")
    report(result)
