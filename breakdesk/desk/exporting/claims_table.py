"""The claims as a table that loads into a new desk as the same claims, as far as its columns go."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from breakdesk.desk.desk import Desk
from breakdesk.files.headers import Kind, columns_of
from breakdesk.files.writing import Cell, SheetToWrite
from breakdesk.rules import clocks
from breakdesk.rules.claim import HOUSE_PARTY, Claim
from breakdesk.rules.money import Money, format_money
from breakdesk.rules.parties import House
from breakdesk.rules.story import active
from breakdesk.rules.zones import in_zone
from breakdesk.store import history, models
from breakdesk.store.claims import read_claims


@dataclass(frozen=True, slots=True)
class Names:
    """The names that a claim's keys stand for."""

    house: House
    people: Mapping[int, str]
    makers: Mapping[int, str]
    accounts: Mapping[int, str]
    products: Mapping[int, str]
    breaks: Mapping[int, str]


def claims_table(desk: Desk, names: Names) -> SheetToWrite:
    """Every claim but the void ones, which no column can tell apart. Codes are never exported."""
    claims = list(read_claims(desk.database, "claim.state <> 'void'"))
    settled = [claim.id for claim in claims if claim.settled_on is not None]
    owners = _owners_before_settling(settled)
    table = models.Claim
    notes = {
        row.id: history.text_of(row.note_id) or ""
        for row in table.select(table.id, table.note_id).where(table.note_id.is_null(False))
    }
    columns = columns_of(Kind.CLAIMS)
    rows = []
    for claim in claims:
        cells = _cells(claim, names, owners.get(claim.id), notes.get(claim.id, ""))
        rows.append([cells.get(column, "") for column in columns])
    return SheetToWrite("claims", columns, rows)


def _owners_before_settling(claim_ids: Sequence[int]) -> dict[int, int | None]:
    """Who owned each claim when the house settled with them: the file names that person, not the house."""
    owners: dict[int, int | None] = {}
    for claim_id, events in history.claim_events(claim_ids).items():
        owner: int | None = None
        for event in sorted(active(events), key=lambda event: event.day):
            if event.kind in ("pulled", "owner"):
                owner = event.body.get("owner_id")
            elif event.kind == "closed":
                owners[claim_id] = owner
                break
    return owners


def _cells(claim: Claim, names: Names, owner_before: int | None, note: str) -> dict[str, Cell]:
    settled = claim.settled_on is not None
    closed_on = claim.settled_on if settled else claim.closed_on
    amount = (claim.settled_amount, claim.settled_currency) if settled else (claim.closed_amount, claim.closed_currency)
    return {
        "tag": claim.tag,
        "break": names.breaks.get(claim.break_id or 0, ""),
        "product": names.products.get(claim.product_id or 0, ""),
        "maker": names.makers.get(claim.maker_id or 0, ""),
        "account": names.accounts.get(claim.account_id or 0, ""),
        "participant": _participant(claim, names, owner_before),
        "kind": claim.kind,
        "subject": claim.subject,
        "team": claim.team,
        "variation": claim.variation,
        "numbered_to": claim.numbered_to,
        "serial": claim.serial,
        "features": claim.features,
        "expires_on": claim.expires_on,
        "value": money_cell(claim.value, claim.currency),
        "plan": claim.plan,
        "pulled_at": _pulled_at(claim, names.house),
        "submitted_on": claim.submitted_on,
        "reference": claim.reference,
        "last_asked_on": claim.last_asked_on,
        "last_told_on": claim.last_told_on,
        "in_hand_on": claim.in_hand_on,
        "shipped_on": claim.shipped_on,
        "tracking": claim.tracking,
        "closed_on": closed_on,
        "closed_how": (claim.settled_how if settled else claim.closed_how) or "",
        "closed_amount": money_cell(*amount),
        "fault": claim.fault or "",
        "refused_on": claim.refused_on,
        "seen_on_camera": claim.seen_on_camera or "",
        "note": note,
    }


def _participant(claim: Claim, names: Names, owner_before: int | None) -> str:
    if claim.settled_on is not None and owner_before is not None:
        return names.people[owner_before]
    if claim.owner_kind == "several":
        return ";".join(names.people[key] if key != HOUSE_PARTY else names.house.name for key in claim.candidates)
    if claim.owner_kind == "house":
        return names.house.name if claim.break_id is not None else ""
    return "" if claim.owner_id is None else names.people[claim.owner_id]


def money_cell(minor: int | None, currency: str | None) -> str:
    """An amount with its currency, as the files write it; empty where there is none."""
    return "" if minor is None or currency is None else format_money(Money(minor, currency))


def _pulled_at(claim: Claim, house: House) -> str | date:
    if claim.pulled_at is None:
        return claim.pull_day
    instant = clocks.instant_of(claim.pulled_at)
    return in_zone(instant, house.zone_at(instant)).isoformat()
