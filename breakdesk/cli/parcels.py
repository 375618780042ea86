"""Parcels on the command line: who can be shipped to, what is under way, packing, and what became of it."""

from __future__ import annotations

from collections.abc import Sequence

from breakdesk.cli import named
from breakdesk.cli.common import fail, report
from breakdesk.cli.output import say, say_problem, say_table
from breakdesk.cli.wording import day_words
from breakdesk.desk import shipping
from breakdesk.desk.answering import person_view
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem
from breakdesk.desk.viewing import today
from breakdesk.rules.claim import Claim
from breakdesk.rules.rounds import can_go_out
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag, read_claims


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
    table = models.Parcel
    open_parcels = list(table.select().where(table.state != "delivered").order_by(table.id))
    if open_parcels:
        say()
        headings = ("parcel", "participant", "state", "shipped", "tracking", "cards")
        say_table(headings, [_parcel_row(desk, row) for row in open_parcels], right=(0,))


def _parcel_row(desk: Desk, row: models.Parcel) -> tuple[str, ...]:
    tags = ", ".join(claim.tag for claim in _claims_in(desk, int(row.id)))
    name = named.person_name(row.participant_id)
    return str(row.id), name, row.state, day_words(row.shipped_on), row.tracking, tags


def _claims_in(desk: Desk, parcel_id: int) -> list[Claim]:
    return list(read_claims(desk.database, "claim.parcel_id = ?", [parcel_id]))


def packed(desk: Desk, who: str, tags: Sequence[str]) -> int:
    """The number of the parcel that is being packed for a participant, begun where there is none."""
    person_id = named.person_id(who)
    view = person_view(desk, person_id)
    if view is not None and not view.address_confirmed:
        say_problem(f"Note: {view.name}'s address is to be confirmed. Ask before the parcel leaves.")
    here = _cards_here(desk, person_id)
    wanted = [named.claim_of(tag) for tag in dict.fromkeys(tags)] or here
    parcels = {claim.parcel_id for claim in wanted if claim.parcel_id is not None}
    if len(parcels) == 1 and all(claim.parcel_id is not None for claim in wanted):
        return int(parcels.pop() or 0)
    loose = wanted if tags else [claim for claim in wanted if claim.parcel_id is None]
    strangers = [claim.tag for claim in loose if claim.owner_id != person_id]
    if strangers:
        fail(f"Not {named.person_name(person_id)}'s: {', '.join(strangers)}.")
    if not loose:
        fail(f"Nothing of {named.person_name(person_id)}'s can be shipped now.")
    done = report(shipping.start_parcel(desk, [claim.tag for claim in loose]))
    parcel_id = named.claim_of(loose[0].tag).parcel_id
    if parcel_id is None:
        raise RuntimeError(f"action {done.number} packed no parcel")
    return parcel_id


def _cards_here(desk: Desk, person_id: int) -> list[Claim]:
    claims = read_claims(desk.database, "claim.owner_id = ? AND claim.state IN ('in_hand', 'pulled')", [person_id])
    return [claim for claim in claims if can_go_out(claim) and not claim.on_hold]


def say_steps(parcel_id: int) -> None:
    """Prints the steps of a parcel and what lets it leave."""
    table = models.ParcelStep
    rows = []
    for step in table.select().where(table.parcel == parcel_id).order_by(table.position):
        claim = None if step.claim_id is None else models.Claim.get_by_id(step.claim_id)
        state = "done" if step.done_at is not None else "open" if step.mandatory else "optional"
        rows.append((step.name, "" if claim is None else claim.tag, state))
    say_table(("step", "card", ""), rows)
    say("When it leaves: ship WHO --tracking NUMBER --steps-done.")


def tick_all(desk: Desk, parcel_id: int) -> None:
    """Ticks every mandatory step of a parcel that is open."""
    table = models.ParcelStep
    rows = list(table.select().where(table.parcel == parcel_id, table.done_at.is_null()).order_by(table.position))
    for step in rows:
        if step.mandatory:
            result = shipping.tick(desk, int(step.id))
            if isinstance(result, Problem):
                fail(result.sentence)


def end_parcel(desk: Desk, what: str, how: str, note: str) -> None:
    """Records what became of a parcel, named by its number or by the tag of a card in it."""
    parcel_id = _parcel_named(what)
    if parcel_id is None:
        tag = named.claim_of(what).tag
        if how == "delivered":
            from breakdesk.desk.settling import Close, close

            report(close(desk, Close(tag=tag, how=how, reason=note)))
        else:
            report(shipping.card_failed(desk, tag, how, note))
    elif how == "delivered":
        report(shipping.delivered(desk, parcel_id))
    else:
        report(shipping.parcel_failed(desk, parcel_id, how, note))


def _parcel_named(what: str) -> int | None:
    """The number of a parcel; None for a card that was shipped outside any parcel of the desk."""
    if claim_with_tag(what) is not None:
        return named.claim_of(what).parcel_id
    if not what.isdecimal():
        fail(f"{what} is neither the number of a parcel nor a tag. `breakdesk ship` lists the parcels.")
    return int(what)
