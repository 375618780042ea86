"""Parcels go out to wherever postage is bought, and their numbers, cost and insurance come back by our number."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.parcel_details import ParcelDetails, parcels_in
from breakdesk.desk.printing import split_address
from breakdesk.desk.problems import Refusal, Result, refuse
from breakdesk.desk.shipping import Ship, send_off, start_parcel
from breakdesk.desk.viewing import today
from breakdesk.files.writing import Cell
from breakdesk.rules.money import minor_digits, parse_money
from breakdesk.rules.tracking import look_at
from breakdesk.rules.wording import counted
from breakdesk.store import models

ADDRESS_LINES = 6
POSTAGE_COLUMNS = (
    "parcel",
    "name",
    *(f"address_{number}" for number in range(1, ADDRESS_LINES + 1)),
    "country",
    "weight_grams",
    "value",
    "currency",
    "cards",
    "insurance",
    "signature",
)
RETURN_COLUMNS = {
    "parcel": ("parcel number", "order", "order number", "reference"),
    "tracking": ("tracking number", "tracking code", "barcode"),
    "cost": ("price", "postage", "amount"),
    "insured": ("insured value", "insurance", "insured for"),
}


def pack_everything(desk: Desk) -> list[Result]:
    """Packs a parcel for everybody in the ship round whose address is confirmed and whose cards are in none."""
    results = []
    for person in today(desk).today.ship:
        loose = [claim.tag for claim in person.claims if claim.parcel_id is None and not claim.on_hold]
        if person.address_confirmed and not person.person.on_hold and loose:
            results.append(start_parcel(desk, loose))
    return results


def postage_rows(desk: Desk) -> Iterator[Sequence[Cell]]:
    """A row for each parcel that is being packed and has an address and no tracking number yet."""
    for parcel in parcels_in(desk, "packing"):
        if parcel.address and not parcel.tracking:
            yield _row(parcel)


def _row(parcel: ParcelDetails) -> Sequence[Cell]:
    lines = split_address(parcel.address)
    if len(lines) > ADDRESS_LINES:
        lines = [*lines[: ADDRESS_LINES - 1], ", ".join(lines[ADDRESS_LINES - 1 :])]
    lines += [""] * (ADDRESS_LINES - len(lines))
    # A carrier takes one currency a parcel; where the cards have several, a person has to say.
    (currency, minor) = next(iter(parcel.values.items())) if len(parcel.values) == 1 else (None, None)
    value = None if currency is None or minor is None else Decimal(minor).scaleb(-minor_digits(currency))
    steps = models.ParcelStep
    wanted = {row.name for row in steps.select(steps.name).where(steps.parcel == parcel.id)}
    return (
        parcel.id,
        parcel.to_name,
        *lines,
        parcel.country,
        parcel.weight_grams,
        value,
        currency,
        len(parcel.claims),
        "insurance" in wanted,
        "signature" in wanted,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought:
    """What came back for one parcel; `line` is where it stands in the file."""

    line: int
    parcel: str
    tracking: str
    cost: str = ""
    insured: str = ""


def take_postage(desk: Desk, bought: Sequence[Bought], *, leave: bool = False, key: int | None = None) -> Result:
    """Writes tracking numbers, cost and insurance to parcels, all rows or none.

    With `leave` every parcel whose mandatory steps are done leaves, too; the others stay and are named.
    """

    def work(a: Act) -> str:
        if not bought:
            raise refuse("There is no row with a parcel.", "The file needs a column parcel and a column tracking.")
        seen: dict[int, int] = {}
        left = 0
        for item in bought:
            try:
                parcel_id = _keep(a, item, seen)
            except Refusal as refusal:
                problem = refusal.problem
                raise refuse(problem.what, problem.remedy, f"line {item.line}") from None
            left += leave and _leave(a, parcel_id)
        said = f"{_parcels(len(bought))} with postage."
        return f"{said} {_parcels(left)} on the way." if leave else said

    return act(desk, "postage", work, key)


def _keep(a: Act, item: Bought, seen: dict[int, int]) -> int:
    number = item.parcel.strip().lstrip("#")
    row = models.Parcel.get_or_none(models.Parcel.id == int(number)) if _is_key(number) else None
    if row is None:
        raise refuse(f"There is no parcel {item.parcel.strip() or 'without a number'}.", "Use our parcel numbers.")
    if row.state != "packing":
        raise refuse(f"Parcel {row.id} is {row.state} already.", "Leave its row out.")
    if row.id in seen:
        raise refuse(f"Parcel {row.id} stands in line {seen[row.id]}, too.", "Keep one of the two rows.")
    seen[int(row.id)] = item.line
    tracking = " ".join(item.tracking.split())
    if not tracking:
        raise refuse(f"Parcel {row.id} has no tracking number.", "Leave the row out until it has one.")
    reading = look_at(tracking)
    if reading.doubt:
        a.warnings.append(f"Parcel {row.id}: {reading.doubt}")
    currency = a.house.terms.on("currency", a.day)
    changes: dict[str, object] = {"tracking": tracking, "standard": reading.standard or ""}
    for name, text in (("cost", item.cost), ("insured", item.insured)):
        if text.strip():
            try:
                money = parse_money(text, currency)
            except ValueError as error:
                raise refuse(str(error)) from error
            if changes.setdefault("currency", money.currency) != money.currency:
                raise refuse(f"Parcel {row.id} has amounts in two currencies.", "Write both in one.")
            changes[name] = money.minor
    models.Parcel.update(**changes).where(models.Parcel.id == row.id).execute()
    steps = models.ParcelStep
    models.ParcelStep.update(done_at=a.happened, who=a.desk.who).where(
        steps.parcel == row.id, steps.name == "postage", steps.done_at.is_null()
    ).execute()
    a.line("parcel", int(row.id), "postage bought", {name: changes[name] for name in changes if name != "standard"})
    return int(row.id)


def _is_key(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) < 19


def _leave(a: Act, parcel_id: int) -> bool:
    try:
        send_off(a, Ship(parcel_id=parcel_id))
    except Refusal as refusal:
        a.warnings.append(f"Parcel {parcel_id} stays: {refusal.problem.sentence}")
        return False
    return True


def _parcels(count: int) -> str:
    return counted(count, "parcel")
