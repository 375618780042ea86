"""What a parcel carries beside its cards: free lines, a note, its weight, another recipient; a report of its loss."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Result, refuse
from breakdesk.desk.ship_cards import claims_in_parcel
from breakdesk.desk.taking_back_parcels import change_parcel, report_parcel
from breakdesk.rules.claim import Claim
from breakdesk.rules.loss_window import NextStep, next_step
from breakdesk.rules.parcel_states import TROUBLE, UNSETTLED, said_of_parcel
from breakdesk.rules.wording import day_in_words
from breakdesk.store import models
from breakdesk.store.parties import read_house, read_people

MOST_LINES = 40
LONGEST_LINE = 120
LONGEST_NOTE = 600
HEAVIEST_GRAMS = 100_000


@dataclass(frozen=True, slots=True, kw_only=True)
class ParcelDetails:
    """A parcel with everything that its slips, its labels and its postage need.

    `to_name`, `address` and `country` are where it goes: a recipient's where there is one. Money is in minor units.
    """

    id: int
    person_id: int
    participant: str
    to_name: str
    address: str
    country: str
    is_gift: bool
    claims: tuple[Claim, ...]
    lines: tuple[str, ...]
    gift_note: str
    weight_grams: int | None
    state: str
    tracking: str
    standard: str
    cost: int | None
    insured: int | None
    currency: str | None
    shipped_on: date | None
    loss_reported_on: date | None

    @property
    def values(self) -> dict[str, int]:
        """The value of the cards in it by currency, in minor units."""
        found: dict[str, int] = {}
        for claim in self.claims:
            if claim.value is not None and claim.currency is not None:
                found[claim.currency] = found.get(claim.currency, 0) + claim.value
        return found


def parcel_details(desk: Desk, parcel_id: int) -> ParcelDetails | None:
    """A parcel by its number; None where there is none."""
    row = models.Parcel.get_or_none(models.Parcel.id == parcel_id)
    return None if row is None else _details(desk, row)


def parcels_in(desk: Desk, *states: str) -> tuple[ParcelDetails, ...]:
    """The parcels in some states that hold at least one card, by number."""
    table = models.Parcel
    rows = table.select().where(table.state.in_(states)).order_by(table.id)
    found = (_details(desk, row) for row in rows)
    return tuple(item for item in found if item.claims)


def _details(desk: Desk, row: models.Parcel) -> ParcelDetails:
    participant = models.Participant.get_by_id(row.participant_id)
    recipient = None if row.recipient_id is None else models.Recipient.get_by_id(row.recipient_id)
    table = models.Address
    present = table.get_or_none(table.participant == row.participant_id, table.ended_at.is_null())
    address = present if row.address_id is None else table.get_by_id(row.address_id)
    place = recipient or address
    return ParcelDetails(
        id=int(row.id),
        person_id=row.participant_id,
        participant=participant.name,
        to_name=participant.name if recipient is None else recipient.name,
        address="" if place is None else place.text,
        country="" if place is None else place.country,
        is_gift=recipient is not None,
        claims=claims_in_parcel(desk, int(row.id)),
        lines=tuple(line for line in row.extra.split("\n") if line),
        gift_note=row.gift_note,
        weight_grams=row.weight_grams,
        state=row.state,
        tracking=row.tracking,
        standard=row.standard,
        cost=row.cost,
        insured=row.insured,
        currency=row.currency,
        shipped_on=row.shipped_on,
        loss_reported_on=row.loss_reported_on,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Contents:
    """What is to be changed of a parcel that is being packed; None leaves it as it is."""

    lines: Sequence[str] | None = None
    gift_note: str | None = None
    weight_grams: int | None = None


def set_contents(desk: Desk, parcel_id: int, contents: Contents, key: int | None = None) -> Result:
    """Writes the free lines ("3 other hits"), the note that goes with a gift, and the weight of a parcel."""

    def work(a: Act) -> str:
        row = _packing(parcel_id)
        changes: dict[str, object] = {}
        if contents.lines is not None:
            lines = [" ".join(line.split()) for line in contents.lines if line.strip()]
            if len(lines) > MOST_LINES or any(len(line) > LONGEST_LINE for line in lines):
                raise refuse(f"At most {MOST_LINES} lines of {LONGEST_LINE} characters go on a parcel.")
            changes["extra"] = "\n".join(lines)
        if contents.gift_note is not None:
            if len(contents.gift_note) > LONGEST_NOTE:
                raise refuse(f"The note is longer than {LONGEST_NOTE} characters.", "Write it on a card of its own.")
            changes["gift_note"] = contents.gift_note.strip()
        if contents.weight_grams is not None:
            if not 1 <= contents.weight_grams <= HEAVIEST_GRAMS:
                raise refuse(f"{contents.weight_grams} g is no weight of a parcel.", "Write grams, from 1 on.")
            changes["weight_grams"] = contents.weight_grams
        if not changes:
            raise refuse("Nothing was to be changed.")
        change_parcel(a, row, "contents", changes)
        return f"Parcel {row.id}: written down."

    return act(desk, "parcel contents", work, key)


def send_to(desk: Desk, parcel_id: int, name: str, address: str, country: str, key: int | None = None) -> Result:
    """The parcel goes to somebody else than its participant, as a gift; an empty name takes that back.

    The participant's own address stays what it is, and the slip shows no value.
    """

    def work(a: Act) -> str:
        row = _packing(parcel_id)
        table = models.Recipient
        recipient_id = None
        if name.strip():
            if not address.strip():
                raise refuse(f"{name.strip()} has no address.", "Write it down as it was given.")
            recipient_id = table.create(
                participant=row.participant_id,
                name=" ".join(name.split()),
                text=address.strip(),
                country=country.strip().upper(),
                since=a.day,
            ).id
        change_parcel(a, row, "recipient", {"recipient_id": recipient_id})
        who = f"goes to {name.strip()}" if recipient_id else "goes to its participant again"
        return f"Parcel {row.id} {who}."

    return act(desk, "parcel recipient", work, key)


def _packing(parcel_id: int) -> models.Parcel:
    row = models.Parcel.get_or_none(models.Parcel.id == parcel_id)
    if row is None:
        raise refuse(f"There is no parcel {parcel_id}.", "Look at the ship round again.")
    if row.state != "packing":
        raise refuse(f"{said_of_parcel(parcel_id, row.state)}.", "Only a parcel that is being packed can change.")
    return row


def report_loss(desk: Desk, parcel_id: int, note: str = "", key: int | None = None) -> Result:
    """The loss of a parcel was reported to its carrier or insurer. What is covered is for their conditions to say."""

    def work(a: Act) -> str:
        row = models.Parcel.get_or_none(models.Parcel.id == parcel_id)
        if row is None:
            raise refuse(f"There is no parcel {parcel_id}.", "`breakdesk parcel` lists those that left.")
        if row.state not in ("shipped", *TROUBLE):
            takes = "Only one that left and has not arrived can be reported."
            raise refuse(f"{said_of_parcel(parcel_id, row.state)}.", takes)
        if row.loss_reported_on is not None:
            raise refuse(f"Parcel {parcel_id} was reported on {day_in_words(row.loss_reported_on)} already.")
        report_parcel(a, row, note)
        return f"Parcel {row.id} is reported. The carrier's and the insurer's conditions decide what is covered."

    return act(desk, "report loss", work, key)


@dataclass(frozen=True, slots=True)
class UnderWay:
    """A parcel that left, with what is due next about it and by when."""

    parcel: ParcelDetails
    next: NextStep
    tell_by: date | None
    """By when its participant is to be told of what happened; None where they know."""


def after_it_left(desk: Desk) -> tuple[UnderWay, ...]:
    """The parcels that are on their way, lost or returned, those with the nearest day first."""
    house = read_house()
    today = house.today(desk.clock.as_of())
    parcels = [item for item in parcels_in(desk, *UNSETTLED) if item.shipped_on is not None]
    people = read_people(desk.database, {item.person_id for item in parcels})
    rows = models.Participant.select().where(models.Participant.id.in_(sorted(people) or [0]))
    due = {row.id: row.tell_due_on for row in rows}
    found = []
    for item in parcels:
        if item.shipped_on is not None and item.state != "packing":
            step = next_step(
                item.state, item.shipped_on, people[item.person_id], house, today, reported_on=item.loss_reported_on
            )
            has_news = any(news.person_id == item.person_id for claim in item.claims for news in claim.news)
            found.append(UnderWay(item, step, due.get(item.person_id) if has_news else None))
    return tuple(sorted(found, key=lambda line: (line.next.by or date.max, line.parcel.id)))
