"""The whole desk as tables in the columns that `load` knows: a new desk can be made of them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import cast

from breakdesk.desk.desk import Desk
from breakdesk.desk.exporting.claims_table import Names, claims_table, money_cell
from breakdesk.files.headers import Kind, columns_of
from breakdesk.files.writing import Cell, SheetToWrite
from breakdesk.rules.parties import House, Maker
from breakdesk.rules.zones import in_zone
from breakdesk.store import models
from breakdesk.store.parties import read_house, read_makers

HOUSE_TERMS = (
    "zone", "currency", "country", "submit_within_days", "tell_urgent_within_days", "tell_routine_within_days",
    "update_every_days",
)  # fmt: skip
MAKER_TERMS = ("zone", "country", "subdivision", "opens", "closes")
MORE_MAKER_TERMS = ("ask_after_months", "ask_every_days", "expired_policy")


def desk_tables(desk: Desk) -> list[SheetToWrite]:
    """House, makers, participants, checklist, spots and claims. Terms are those in force on the desk's day.

    What no column holds stays behind: codes, void claims, offers, failed submissions, holds, parcels, the history.
    """
    house = read_house()
    day = house.today(desk.clock.as_of())
    names = _names(house)
    return [
        _house_table(house, day),
        _makers_table(desk, day),
        _participants_table(),
        _checklist_table(names),
        _spots_table(names),
        claims_table(desk, names),
    ]


def _names(house: House) -> Names:
    return Names(
        house=house,
        people=_by_key(models.Participant.select()),
        makers=_by_key(models.Maker.select()),
        accounts=_by_key(models.Account.select()),
        products=_by_key(models.Product.select()),
        breaks=_by_key(models.Break.select()),
    )


def _by_key(rows: Iterable[models.Table]) -> dict[int, str]:
    return {int(row.id): str(row.name) for row in rows}  # type: ignore[attr-defined]


def _house_table(house: House, day: date) -> SheetToWrite:
    row = [house.name, *(house.terms.on(name, day) for name in HOUSE_TERMS)]
    return SheetToWrite("house", columns_of(Kind.HOUSE), [row])


def _makers_table(desk: Desk, day: date) -> SheetToWrite:
    contacts = {row.id: row.contact for row in models.Maker.select()}
    rows = [_maker_row(maker, str(contacts[key]), day) for key, maker in sorted(read_makers(desk.database).items())]
    return SheetToWrite("makers", columns_of(Kind.MAKERS), rows)


def _maker_row(maker: Maker, contact: str, day: date) -> list[Cell]:
    return [
        maker.name,
        *(maker.terms.on(name, day) for name in MAKER_TERMS),
        ";".join(closed.isoformat() for closed in sorted(maker.closed_days)),
        *(maker.terms.on(name, day) for name in MORE_MAKER_TERMS),
        contact,
    ]


def _participants_table() -> SheetToWrite:
    table = models.Address
    addresses = {row.participant_id: row for row in table.select().where(table.ended_at.is_null())}
    kept = models.Contact
    found = cast("Iterable[tuple[int, str, str]]", kept.select(kept.participant, kept.email, kept.phone).tuples())
    contacts = {person_id: (email, phone) for person_id, email, phone in found}
    people = models.Participant
    rows: list[list[Cell]] = []
    for row in people.select().where(people.merged_into.is_null()).order_by(people.id):
        (email, phone), address = contacts.get(row.id, ("", "")), addresses.get(row.id)
        rows.append(
            [
                row.name,
                row.handle,
                row.on_air_name,
                email,
                phone,
                row.channel,
                row.zone,
                row.language,
                address.text if address else "",
                address.country if address else "",
                _confirmed_on(address) if address else None,
            ]
        )
    return SheetToWrite("participants", columns_of(Kind.PARTICIPANTS), rows)


def _confirmed_on(address: models.Address) -> date | None:
    """The day of the confirmation, unless the participant said since that they moved."""
    confirmed, moved = address.confirmed_on, address.moved_on
    if confirmed is not None and moved is not None and confirmed <= moved:
        return None
    day: date | None = confirmed
    return day


def _checklist_table(names: Names) -> SheetToWrite:
    makers = {row.id: names.makers.get(row.maker_id or 0, "") for row in models.Product.select()}
    rows = [
        [
            names.products[row.product_id],
            makers[row.product_id],
            row.card,
            row.subject,
            row.team,
            row.variation,
            row.numbered_to,
            row.features,
        ]
        for row in models.Card.select().order_by(models.Card.id)
    ]
    return SheetToWrite("checklist", columns_of(Kind.CHECKLIST), rows)


def _spots_table(names: Names) -> SheetToWrite:
    breaks = {row.id: row for row in models.Break.select()}
    products: dict[int, list[str]] = {}
    link = models.BreakProduct
    links = cast("Iterable[tuple[int, int]]", link.select(link.break_, link.product).order_by(link.id).tuples())
    for break_id, product_id in links:
        products.setdefault(break_id, []).append(names.products[product_id])
    holders: dict[int, list[str]] = {}
    for held in models.SpotHolder.select().order_by(models.SpotHolder.id):
        holders.setdefault(held.spot_id, []).append(names.people[held.participant_id])
    rows: list[list[Cell]] = []
    for spot in models.Spot.select().order_by(models.Spot.id):
        row = breaks[spot.break_id]
        shown = products.get(row.id, []) if spot.product_id is None else [names.products[spot.product_id]]
        rows.append(
            [
                row.name,
                ";".join(shown),
                _starts(row, names.house),
                row.format,
                spot.holds,
                ";".join(holders.get(spot.id, ())),
                spot.order_number,
                money_cell(spot.price, spot.currency),
            ]
        )
    return SheetToWrite("spots", columns_of(Kind.SPOTS), rows)


def _starts(row: models.Break, house: House) -> Cell:
    starts: datetime | None = row.starts_at
    if starts is None:
        night: date | None = row.night
        return night
    return in_zone(starts, house.zone_at(starts)).isoformat()
