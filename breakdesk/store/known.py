"""All claims as they were known at the end of a day, and what totals need beside them."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from breakdesk.rules.claim import Claim as Facts
from breakdesk.rules.money import Money
from breakdesk.rules.story import fold
from breakdesk.rules.totals import Names
from breakdesk.rules.year_sheet import Payment
from breakdesk.store.claims import read_claims
from breakdesk.store.engine import run
from breakdesk.store.history import all_claim_events
from breakdesk.store.models import StrictSqlite


def has_later_facts(database: StrictSqlite, day: date) -> bool:
    """Whether anything but an ask, which carries its maker's date, is dated after a day of the house."""
    later = "SELECT 1 FROM history_line WHERE day > ? AND kind <> 'asked' LIMIT 1"
    return run(database, later, (day.isoformat(),)).fetchone() is not None


def known_claims(database: StrictSqlite, day: date) -> Iterator[Facts]:
    """Every claim pulled by a day of the house, facts dated later left out."""
    if not has_later_facts(database, day):
        yield from read_claims(database)
        return
    for claim_id, events in all_claim_events(database, day):
        claim = fold(claim_id, events, day)
        if claim is not None:
            yield claim


def read_names(database: StrictSqlite) -> Names:
    """What makers, accounts, participants and breaks are called."""
    return Names(
        makers=dict(run(database, "SELECT id, name FROM maker")),
        accounts=dict(run(database, "SELECT id, name FROM account")),
        people=dict(run(database, "SELECT id, name FROM participant")),
        breaks=dict(run(database, "SELECT id, name FROM break")),
    )


_POSTAGE = """
SELECT parcel.id, parcel.shipped_on, parcel.cost, parcel.currency, claim.tag
  FROM parcel LEFT JOIN claim ON claim.parcel_id = parcel.id
 WHERE parcel.shipped_on BETWEEN ? AND ? ORDER BY parcel.id, claim.tag
"""


def read_postage(database: StrictSqlite, first: date, last: date) -> list[Payment]:
    """What the parcels that left in a period cost, each with the claims in it."""
    parcels: dict[int, tuple[str, int | None, str | None, list[str]]] = {}
    for key, day, cost, currency, tag in run(database, _POSTAGE, (first.isoformat(), last.isoformat())):
        tags = parcels.setdefault(key, (day, cost, currency, []))[3]
        if tag is not None:
            tags.append(tag)
    return [
        Payment(
            tuple(tags),
            date.fromisoformat(day),
            None if cost is None or currency is None else Money(cost, currency),
        )
        for day, cost, currency, tags in parcels.values()
    ]
