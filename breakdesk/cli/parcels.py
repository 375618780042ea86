"""Parcels on the command line: who can be shipped to, what is under way, packing, and what became of it."""

from __future__ import annotations

from collections.abc import Sequence

from breakdesk.cli import named
from breakdesk.cli.common import fail, report
from breakdesk.cli.output import say, say_fields, say_problem, say_table
from breakdesk.cli.wording import day_words
from breakdesk.desk import shipping
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.ship_cards import OpenParcel, ParcelLine, ShipCard, claims_in_parcel, open_parcels, ship_card
from breakdesk.desk.viewing import today
from breakdesk.rules.parcel_states import STATE_WORDS
from breakdesk.store.claims import claim_with_tag


def say_parcels(desk: Desk) -> None:
    """Prints who can be shipped to, then the parcels that have not arrived."""
    people = today(desk).today.ship
    if people:
        rows = [
            (
                person.person.name,
                "confirmed" if person.address_confirmed else "to be confirmed",
                "; ".join(f"{claim.tag} {what_of(claim)}" for claim in person.claims),
            )
            for person in people
        ]
        say_table(("participant", "address", "cards"), rows)
    else:
        say("Nothing can be shipped now.")
    parcels = open_parcels(desk)
    if parcels:
        say()
        headings = ("parcel", "participant", "state", "since", "tracking", "cards")
        say_table(headings, [_parcel_row(desk, line) for line in parcels])


def _parcel_row(desk: Desk, line: ParcelLine) -> tuple[str, ...]:
    """A parcel by its number; a card that was shipped in none by its tag."""
    if line.id is None:
        number, cards = line.tag, line.what
    else:
        number, cards = str(line.id), ", ".join(claim.tag for claim in claims_in_parcel(desk, line.id))
    return number, line.name, STATE_WORDS[line.state], day_words(line.since), line.tracking, cards


def packed(desk: Desk, who: str, tags: Sequence[str]) -> OpenParcel:
    """The parcel that is being packed for a participant, begun where there is none."""
    card = _card(desk, named.person_id(desk, who))
    if not card.confirmed:
        say_problem(f"Note: {card.name}'s address is to be confirmed. Ask before the parcel leaves.")
    wanted = [named.claim_of(desk, tag) for tag in dict.fromkeys(tags)]
    strangers = [claim.tag for claim in wanted if claim.owner_id != card.person_id]
    if strangers:
        fail(f"Not {card.name}'s: {', '.join(strangers)}.")
    inside = card.parcel
    there = {claim.id for claim in inside.claims} if inside is not None else set()
    loose = [claim.tag for claim in wanted or ([] if inside is not None else card.cards) if claim.id not in there]
    if inside is not None and not loose:
        return inside
    if not loose:
        fail(f"Nothing of {card.name}'s can be shipped now.")
    report(shipping.start_parcel(desk, loose) if inside is None else shipping.add_to_parcel(desk, inside.id, loose))
    begun = _card(desk, card.person_id).parcel
    if begun is None:
        raise RuntimeError("a parcel was begun and is not there")
    return begun


def _card(desk: Desk, person_id: int) -> ShipCard:
    card = ship_card(desk, person_id)
    if card is None:
        raise RuntimeError("a participant was found and is not there")
    return card


def say_steps(parcel: OpenParcel) -> None:
    """Prints the steps of a parcel and what lets it leave."""
    rows = [
        (step.name, step.tag, "done" if step.done_at is not None else "open" if step.mandatory else "optional")
        for step in parcel.steps
    ]
    say_table(("step", "card", ""), rows)
    say_fields(
        [
            ("goes to", f"{parcel.goes_to} (a gift)" if parcel.goes_to else ""),
            ("note", parcel.gift_note),
            ("also in it", "; ".join(parcel.lines)),
        ]
    )
    say("When it leaves: ship WHO --tracking NUMBER --steps-done.")


def end_parcel(desk: Desk, what: str, how: str, note: str) -> None:
    """Records what became of a parcel, named by its number or by the tag of a card in it."""
    parcel_id = _parcel_named(desk, what)
    if parcel_id is None:
        tag = named.claim_of(desk, what).tag
        if how == "delivered":
            from breakdesk.desk.settling import Close, close

            report(close(desk, Close(tag=tag, how=how, reason=note)))
        else:
            report(shipping.card_failed(desk, tag, how, note))
    elif how == "delivered":
        report(shipping.delivered(desk, parcel_id))
    else:
        report(shipping.parcel_failed(desk, parcel_id, how, note))


def _parcel_named(desk: Desk, what: str) -> int | None:
    """The number of a parcel; None for a card that was shipped outside any parcel of the desk."""
    if claim_with_tag(what) is not None:
        return named.claim_of(desk, what).parcel_id
    if not what.isdecimal():
        fail(f"{what} is neither the number of a parcel nor a tag. `breakdesk ship` lists the parcels.")
    return int(what)
