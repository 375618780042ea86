"""Writes the files of the sample desk: `python tests/make_sample.py [FOLDER]`, by default into sample_breaks.

The same text comes out every time. All days are written relative to the anchor day; whoever loads the sample moves
every date by the days that have passed since.
"""

from __future__ import annotations

import csv
import datetime
import sys
from collections.abc import Iterable
from pathlib import Path

from sample_world import readme, sheet
from sample_world.assemble import all_claims
from sample_world.claims import Claim
from sample_world.nights import Night, nights
from sample_world.people import PEOPLE
from sample_world.products import HOUSE, MAKERS, PRODUCTS, checklist

from breakdesk.rules.tags import make_tag

ANCHOR = datetime.date(2026, 6, 15)
SHEET_NIGHT = 121
Row = dict[str, object]


def day(age: int | None) -> str:
    """The ISO day so many days before the anchor day; "" for None."""
    return "" if age is None else (ANCHOR - datetime.timedelta(days=age)).isoformat()


def house_rows() -> list[Row]:
    """The one row of the house."""
    return [dict(HOUSE)]


def maker_rows() -> list[Row]:
    """One row a maker."""
    return [
        {
            "maker": maker.name,
            "zone": maker.zone,
            "country": maker.country,
            "subdivision": maker.subdivision,
            "opens": maker.opens,
            "closes": maker.closes,
            "closed_days": ";".join(day(-ahead) for ahead in maker.closed_in),
            "ask_after_months": maker.months,
            "ask_every_days": maker.every,
            "expired_policy": maker.expired_policy,
            "contact": maker.contact,
        }
        for maker in MAKERS.values()
    ]


def participant_rows() -> list[Row]:
    """One row a participant."""
    return [
        {
            "participant": person.name,
            "handle": person.handle,
            "on_air_name": person.on_air_name,
            "email": person.email,
            "phone": person.phone,
            "channel": person.channel,
            "zone": person.zone,
            "language": person.language,
            "address": person.address,
            "address_country": person.country,
            "address_confirmed_on": day(person.confirmed),
        }
        for person in PEOPLE
    ]


def checklist_rows(code: str) -> list[Row]:
    """One row a card of the product."""
    return [
        {
            "product": card.product.name,
            "maker": MAKERS[card.product.maker].name,
            "card": card.card,
            "subject": card.subject,
            "team": card.team,
            "variation": card.variation,
            "numbered_to": card.numbered_to,
            "features": card.features,
        }
        for card in checklist(PRODUCTS[code])
    ]


def spot_rows(night: Night) -> list[Row]:
    """One row a spot of the break."""
    starts = f"{day(night.age)}T{night.starts:%H:%M}"
    return [
        {
            "break": night.name,
            "product": ";".join(PRODUCTS[code].name for code in spot.products),
            "starts_at": starts,
            "format": night.format,
            "spot": ";".join(spot.holds),
            "participant": ";".join(spot.buyers),
            "order": spot.order,
            "price_paid": f"{spot.price}.00" if spot.price else "",
        }
        for spot in night.spots
    ]


def claim_row(claim: Claim, number: int) -> Row:
    """The claim with this running number as a row."""
    time = f"T{claim.pulled_time}" if claim.pulled_time else ""
    card = claim.card
    return {
        "tag": make_tag(number),
        "break": claim.night.name if claim.night else "",
        "product": card.product.name,
        "maker": MAKERS[card.product.maker].name,
        "account": claim.account,
        "participant": claim.person if claim.named else "",
        "kind": claim.kind or "redemption",
        "subject": card.subject,
        "team": card.team,
        "variation": card.variation,
        "numbered_to": card.numbered_to,
        "serial": claim.serial,
        "features": card.features,
        "code": claim.code,
        "expires_on": day(claim.expires_age),
        "value": claim.value,
        "plan": claim.plan,
        "pulled_at": day(claim.pulled_age) + time,
        "submitted_on": day(claim.submitted_age),
        "reference": claim.reference,
        "last_asked_on": day(claim.asked_age),
        "last_told_on": day(claim.told_age),
        "in_hand_on": day(claim.arrived_age),
        "shipped_on": day(claim.shipped_age),
        "tracking": claim.tracking,
        "closed_on": day(claim.closed_age),
        "closed_how": claim.closed_how,
        "closed_amount": claim.closed_amount,
        "fault": claim.fault,
        "refused_on": day(claim.refused_age),
        "seen_on_camera": "yes" if claim.seen else "",
        "note": claim.note,
    }


def write(folder: Path) -> None:
    """Write every file of the sample into the folder."""
    folder.mkdir(parents=True, exist_ok=True)
    _csv(folder / "house.csv", house_rows())
    _csv(folder / "makers.csv", maker_rows())
    _csv(folder / "participants.csv", participant_rows())
    for code, product in PRODUCTS.items():
        _csv(folder / f"checklist-{_slug(product.name)}.csv", checklist_rows(code))
    for night in nights():
        name, rows = f"spots-{_slug(night.name)}", spot_rows(night)
        if night.number == SHEET_NIGHT:
            sheet.write(folder / f"{name}.xlsx", rows)
        else:
            _csv(folder / f"{name}.csv", rows)
    claims = all_claims()
    _csv(folder / "claims.csv", [claim_row(claim, number) for number, claim in enumerate(claims)])
    readme.write(folder / "README.md", [(make_tag(number), claim) for number, claim in enumerate(claims)])


def _csv(path: Path, rows: Iterable[Row]) -> None:
    rows = list(rows)
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, fieldnames=list(rows[0]))
        writer.writeheader()
        writer.writerows(rows)


def _slug(text: str) -> str:
    return "-".join(text.lower().split())


if __name__ == "__main__":
    write(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parent.parent / "sample_breaks")
