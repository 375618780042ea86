"""Today's owed list as one table, a row a claim."""

from __future__ import annotations

from decimal import Decimal

from breakdesk.desk.desk import Desk
from breakdesk.desk.viewing import owed, product_names
from breakdesk.files.writing import Cell, SheetToWrite
from breakdesk.rules.money import minor_digits

OWED_COLUMNS = (
    "participant", "tag", "state", "subject", "team", "variation", "numbered_to", "serial", "product", "pulled_on",
    "age_days", "age_months", "band", "value", "currency", "last_told_on", "next_tell_on",
)  # fmt: skip


def owed_table(desk: Desk) -> SheetToWrite:
    """What is owed as of the desk's instant, by participant, then tag; no value is an empty cell, never 0."""
    found = owed(desk)
    products = product_names([line.claim for item in found for line in item.claims])
    rows: list[tuple[Cell, ...]] = []
    for item in found:
        for line in item.claims:
            claim = line.claim
            rows.append(
                (
                    item.participant,
                    claim.tag,
                    claim.state,
                    claim.subject,
                    claim.team,
                    claim.variation,
                    claim.numbered_to,
                    claim.serial,
                    products.get(claim.product_id or 0),
                    claim.pull_day,
                    line.age.days,
                    line.age.months,
                    line.band,
                    amount(claim.value, claim.currency),
                    claim.currency,
                    claim.last_told_on,
                    line.next_tell,
                )
            )
    return SheetToWrite("owed", OWED_COLUMNS, rows)


def amount(minor: int | None, currency: str | None) -> Decimal | None:
    """An amount in whole units with all its decimals; None where there is none."""
    if minor is None or currency is None:
        return None
    return Decimal(minor).scaleb(-minor_digits(currency))
