"""Which notices of delay are due, by the stored day on which each falls due."""

from __future__ import annotations

from datetime import date

from breakdesk.rules.claim import Claim as Facts
from breakdesk.store.claims import read_claims
from breakdesk.store.engine import run
from breakdesk.store.known import has_later_facts, known_claims
from breakdesk.store.models import StrictSqlite


def claims_to_notify(database: StrictSqlite, day: date) -> list[Facts]:
    """Claims of which a notice is due by a day of the house; in the past some more, of which the rule tells."""
    if has_later_facts(database, day):
        return [claim for claim in known_claims(database, day) if claim.owner_id is not None and claim.is_open]
    return list(read_claims(database, "claim.notice_from <= ?", [day.isoformat()]))


def count_notices(database: StrictSqlite, day: date) -> int:
    """Of how many claims a notice is due by a day of the house, as things stand now."""
    return int(run(database, "SELECT count(*) FROM claim WHERE notice_from <= ?", (day.isoformat(),)).fetchone()[0])
