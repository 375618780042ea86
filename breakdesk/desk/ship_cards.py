"""What the ship round shows: a participant with cards to go out, and the parcel that is being packed for them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.loss_window import NextStep, next_step
from breakdesk.rules.parcel_states import TROUBLE, UNSETTLED
from breakdesk.rules.rounds.ship import can_go_out
from breakdesk.rules.tracking import look_at
from breakdesk.store import models
from breakdesk.store.claims import claims_with_keys, read_claims
from breakdesk.store.parties import read_house, read_parties, read_people

PARCELS_AT_MOST = 500


@dataclass(frozen=True, slots=True)
class StepLine:
    """One step of packing; `tag` is the claim whose card it is about, empty for the parcel."""

    id: int
    name: str
    tag: str
    mandatory: bool
    done_at: datetime | None
    who: str


@dataclass(frozen=True, slots=True)
class OpenParcel:
    """A parcel that is being packed."""

    id: int
    claims: tuple[Claim, ...]
    steps: tuple[StepLine, ...]
    lines: tuple[str, ...] = ()
    """What else is in it."""
    gift_note: str = ""
    goes_to: str = ""
    """Somebody else to whom it goes; empty for the participant."""

    @property
    def open_steps(self) -> tuple[StepLine, ...]:
        """The steps that are not ticked, in order."""
        return tuple(step for step in self.steps if step.done_at is None)


@dataclass(frozen=True, slots=True, kw_only=True)
class ShipCard:
    """A participant with what can go out to them. `cards` are in no parcel yet."""

    person_id: int
    name: str
    handle: str
    on_air_name: str
    on_hold: bool
    address: str
    country: str
    confirmed: bool
    confirmed_on: date | None
    cards: tuple[Claim, ...]
    days_left: Mapping[int, int | None]
    """By claim, the days that are left of a claim card to be given, where the maker is."""
    parcel: OpenParcel | None


def ship_card(desk: Desk, person_id: int) -> ShipCard | None:
    """A participant as the ship round shows them; None where there is none."""
    row = models.Participant.get_or_none(models.Participant.id == person_id)
    if row is None:
        return None
    parties = read_parties(desk.database, [person_id])
    person = parties.people[person_id]
    where = "claim.owner_id = ? AND claim.state IN ('in_hand', 'pulled')"
    claims = [claim for claim in read_claims(desk.database, where, [person_id]) if can_go_out(claim)]
    table = models.Address
    address = table.get_or_none(table.participant == person_id, table.ended_at.is_null())
    return ShipCard(
        person_id=person_id,
        name=row.name,
        handle=row.handle,
        on_air_name=row.on_air_name,
        on_hold=bool(row.on_hold),
        address="" if address is None else address.text,
        country="" if address is None else address.country,
        confirmed=person.address_is_confirmed(parties.house, parties.house.today(desk.clock.as_of())),
        confirmed_on=person.address_confirmed_on,
        cards=tuple(claim for claim in claims if claim.parcel_id is None and not claim.on_hold),
        days_left={
            claim.id: clocks.days_to_expiry(claim, parties.maker_of(claim), desk.clock.as_of()) for claim in claims
        },
        parcel=_open_parcel(desk, person_id),
    )


def _open_parcel(desk: Desk, person_id: int) -> OpenParcel | None:
    table = models.Parcel
    query = table.select().where(table.participant == person_id, table.state == "packing").order_by(table.id)
    row = query.first()
    if row is None:
        return None
    claims = claims_in_parcel(desk, row.id)
    tags = {claim.id: claim.tag for claim in claims}
    steps = models.ParcelStep
    lines = steps.select().where(steps.parcel == row.id).order_by(steps.position)
    return OpenParcel(
        row.id,
        claims,
        tuple(
            StepLine(step.id, step.name, tags.get(step.claim_id or 0, ""), bool(step.mandatory), step.done_at, step.who)
            for step in lines
            if step.claim_id is None or step.claim_id in tags
        ),
        tuple(line for line in row.extra.split("\n") if line),
        row.gift_note,
        "" if row.recipient_id is None else models.Recipient.get_by_id(row.recipient_id).name,
    )


def claims_in_parcel(desk: Desk, parcel_id: int) -> tuple[Claim, ...]:
    """The claims whose cards are in a parcel."""
    table = models.Claim
    ids = [row.id for row in table.select(table.id).where(table.parcel_id == parcel_id).order_by(table.id)]
    return tuple(claims_with_keys(desk.database, ids))


@dataclass(frozen=True, slots=True, kw_only=True)
class ParcelLine:
    """A parcel that is not settled yet, as a list shows it.

    A card that was shipped in no parcel of the desk, such as one loaded from a file, has its `tag` instead of an id.
    """

    id: int | None
    tag: str = ""
    person_id: int | None
    name: str
    handle: str
    on_air_name: str
    state: str
    what: str
    cards: int
    open_steps: int
    tracking: str
    standard: str
    since: date | None
    shipped_on: date | None = None
    next: NextStep | None = None
    """What is due next about it; None while it is packed."""


def open_parcels(desk: Desk) -> tuple[ParcelLine, ...]:
    """Parcels that are packed, on their way, lost or returned: those with trouble first, then the oldest."""
    table, people = models.Parcel, models.Participant
    rows = table.select(table, people).join(people).where(table.state.in_(UNSETTLED)).limit(PARCELS_AT_MOST)
    lines = [line for line in (_line(desk, row) for row in rows) if line.cards] + _without_parcel(desk)
    lines = _with_next_steps(desk, lines, {row.id: row for row in rows})
    return tuple(
        sorted(lines, key=lambda line: (UNSETTLED.index(line.state), line.since or date.min, line.id or 0, line.tag))
    )


def _with_next_steps(desk: Desk, lines: Sequence[ParcelLine], rows: Mapping[int, models.Parcel]) -> list[ParcelLine]:
    house = read_house()
    today = house.today(desk.clock.as_of())
    people = read_people(desk.database, {line.person_id for line in lines if line.person_id is not None})
    found = []
    for line in lines:
        person = people.get(line.person_id or 0)
        row = rows.get(line.id or 0)
        left_on = row.shipped_on if row is not None else line.shipped_on
        if person is not None and left_on is not None and line.state != "packing":
            reported = None if row is None else row.loss_reported_on
            step = next_step(line.state, left_on, person, house, today, reported_on=reported)
            line = replace(line, next=step)
        found.append(line)
    return found


def _without_parcel(desk: Desk) -> list[ParcelLine]:
    claims = list(read_claims(desk.database, "claim.state = 'shipped' AND claim.parcel_id IS NULL"))[:PARCELS_AT_MOST]
    people = read_people(desk.database, [claim.owner_id for claim in claims if claim.owner_id is not None])
    lines = []
    for claim in claims:
        person = people.get(claim.owner_id or 0)
        lines.append(
            ParcelLine(
                id=None,
                tag=claim.tag,
                person_id=person.id if person else None,
                name=person.name if person else "",
                handle=person.handle if person else "",
                on_air_name=person.on_air_name if person else "",
                state=claim.lost_how or "shipped",
                what=what_of(claim),
                cards=1,
                open_steps=0,
                tracking=claim.tracking,
                standard="",
                since=claim.lost_on or claim.shipped_on,
                shipped_on=claim.shipped_on,
            )
        )
    return lines


def _line(desk: Desk, row: models.Parcel) -> ParcelLine:
    claims = claims_in_parcel(desk, row.id)
    steps = models.ParcelStep
    waiting = steps.select().where(steps.parcel == row.id, steps.done_at.is_null()).count()
    person = row.participant
    return ParcelLine(
        id=row.id,
        person_id=person.id,
        name=person.name,
        handle=person.handle,
        on_air_name=person.on_air_name,
        state=row.state,
        what=_what(claims),
        cards=len(claims),
        open_steps=waiting,
        tracking=row.tracking,
        standard=row.standard,
        since=row.ended_on if row.state in TROUBLE else row.shipped_on,
    )


def _what(claims: Sequence[Claim]) -> str:
    if not claims:
        return ""
    more = f" and {len(claims) - 1} more" if len(claims) > 1 else ""
    return what_of(claims[0]) + more


def tracking_standard(_desk: Desk, number: str) -> tuple[str, str]:
    """The published standard that a tracking number follows, and a sentence of doubt; either may be empty."""
    reading = look_at(number)
    return reading.standard or "", reading.doubt or ""
