"""The commands about participants: `address` and `promise`."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import report, with_desk
from breakdesk.cli.instants import DAY
from breakdesk.cli.output import say, say_table

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("address")
@click.argument("who")
@click.option("--confirmed", is_flag=True, help="They confirmed the address that the desk has.")
@click.option("--text", default="", help="The new address as they gave it.")
@click.option("--country", default="", help="Its country as a code of two letters (ISO 3166).")
@click.option("--history", is_flag=True, help="Print every address that was given, the newest first.")
@click.option("--moved", is_flag=True, help="They moved, and the new address is still to come.")
@with_desk
def address_command(desk: Desk, who: str, confirmed: bool, text: str, country: str, history: bool, moved: bool) -> None:
    """Print where the cards of WHO go, or record that they confirmed it, changed it or moved."""
    from breakdesk.cli import named
    from breakdesk.desk import people

    if moved and (confirmed or text or country):
        raise click.UsageError("--moved says that no address is known; give the new one without it.")
    if history:
        _say_history(named.person_id(desk, who))
    elif moved:
        report(people.said_moved(desk, who))
        _say_concerned(desk, named.person_id(desk, who))
    elif confirmed or text or country:
        report(people.confirm_address(desk, who, text, country))
    else:
        _say_address(desk, named.person_id(desk, who))


def _say_address(desk: Desk, person_id: int) -> None:
    from breakdesk.desk.answering import person_view

    view = person_view(desk, person_id)
    if view is None or not view.address:
        say("No address is known.")
        return
    say(view.name)
    say(view.address)
    if view.address_country:
        say(view.address_country)
    say("Confirmed." if view.address_confirmed else "To be confirmed before anything goes out.")


def _say_history(person_id: int) -> None:
    from breakdesk.cli.wording import weekday_words
    from breakdesk.desk.addresses import address_history

    known = address_history(person_id)
    if not known:
        say("No address is known.")
        return
    rows = [
        (
            weekday_words(item.since),
            ", ".join(part for part in (*item.text.splitlines(), item.country) if part),
            weekday_words(item.confirmed_on),
            "now" if item.is_present else "before",
        )
        for item in known
    ]
    say_table(("since", "address", "confirmed", ""), rows)


def _say_concerned(desk: Desk, person_id: int) -> None:
    from breakdesk.desk.addresses import concerned_by_a_move
    from breakdesk.desk.describing import what_of

    concerned = concerned_by_a_move(desk, person_id)
    if concerned.from_makers:
        say("The maker sends these straight to the old address: write to the maker.")
        say_table(("", ""), [(claim.tag, what_of(claim)) for claim in concerned.from_makers])
    if concerned.parcels:
        say(f"Packed or on its way to the old address: parcel {', '.join(map(str, concerned.parcels))}.")


@click.command("promise")
@click.argument("who", metavar="WHO|TAG")
@click.argument("text", nargs=-1, required=True)
@click.option("--by", type=DAY, required=True, help="The day on which it comes back among the decisions.")
@with_desk
def promise_command(desk: Desk, who: str, text: tuple[str, ...], by: date) -> None:
    """Log what was promised to a participant, or about a claim; it comes back on its day."""
    from breakdesk.desk.following import follow_up
    from breakdesk.desk.people import promise
    from breakdesk.store.claims import claim_with_tag

    words = " ".join(text)
    report(follow_up(desk, who, by, words) if claim_with_tag(who) is not None else promise(desk, who, by, words))
