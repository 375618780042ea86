"""Parcels go out as a table to wherever postage is bought; `postage_back` takes what comes back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from pathlib import Path

from breakdesk.desk.desk import Desk
from breakdesk.desk.parcel_details import ParcelDetails, parcels_in
from breakdesk.desk.printing import split_address
from breakdesk.desk.problems import Problem, Result
from breakdesk.desk.shipping import add_to_parcel, start_parcel
from breakdesk.desk.viewing import today
from breakdesk.files.private import for_its_owner
from breakdesk.files.writing import Cell, write_csv
from breakdesk.rules.money import minor_digits
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


def pack_everything(desk: Desk) -> list[Result]:
    """Packs everybody's cards in the ship round whose address is confirmed: into the parcel that is being packed for
    them and has no postage yet, else into a new one.
    """
    table = models.Parcel
    rows = table.select().where(table.state == "packing", table.tracking == "").order_by(table.id.desc())
    open_for = {row.participant_id: int(row.id) for row in rows}
    results = []
    for person in today(desk).today.ship:
        loose = [claim.tag for claim in person.claims if claim.parcel_id is None and not claim.on_hold]
        if person.address_confirmed and not person.person.on_hold and loose:
            parcel_id = open_for.get(person.person.id)
            results.append(start_parcel(desk, loose) if parcel_id is None else add_to_parcel(desk, parcel_id, loose))
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


def write_postage(desk: Desk, path: Path) -> int | Problem:
    """Writes the table for wherever postage is bought, for its owner's eyes only; returns how many parcels it has."""
    rows = list(postage_rows(desk))
    if not rows:
        return Problem("No packed parcel has an address and waits for postage.", "Pack one first.")
    try:
        with open(path.expanduser(), "wb", opener=for_its_owner) as file:
            write_csv(file, POSTAGE_COLUMNS, rows)
    except OSError as error:
        return Problem(f"{path} cannot be written: {error.strerror}.", "Name another place.")
    return len(rows)
