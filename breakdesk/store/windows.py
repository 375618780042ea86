"""Finds the claims that a view could need, by the indexed due days."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from breakdesk.rules.claim import Claim as Facts
from breakdesk.rules.claim import Waiting
from breakdesk.store.claims import read_claims, read_waiting
from breakdesk.store.engine import run
from breakdesk.store.models import StrictSqlite

_TO_BE_TOLD = "SELECT id FROM participant WHERE tell_due_on <= ?"
_WITH_NEWS = f"SELECT claim_id FROM claim_news WHERE participant_id IN ({_TO_BE_TOLD})"
_KINDS = "claim.owner_kind IN ('person', 'several', 'house', 'nobody')"
"""Every kind of owner: named so that the engine goes along the index of decisions."""
_WHOLE = f"""
claim.state IN ('pulled', 'in_hand')
OR (claim.state IN ('offered', 'shipped', 'refused') AND {_KINDS} AND claim.decide_from <= ?)
OR (claim.state IN ('offered', 'shipped', 'refused') AND claim.owner_id IN ({_TO_BE_TOLD}))
OR (claim.state <> 'submitted' AND claim.id IN ({_WITH_NEWS}))
"""
_WAITING = f"""
claim.ask_from <= ?
OR ({_KINDS} AND claim.decide_from <= ?)
OR claim.owner_id IN ({_TO_BE_TOLD})
OR claim.id IN ({_WITH_NEWS})
"""


def claims_for_today(database: StrictSqlite, day: date) -> tuple[list[Facts], list[Waiting]]:
    """Every claim that any of the five lists could hold on a day of the house: some more, never fewer.

    Those that are with their makers stand apart: they are many, and the lists need little of each.
    """
    last = (day + timedelta(days=1)).isoformat()
    whole = list(read_claims(database, _WHOLE, (last, last, last)))
    return whole, read_waiting(database, _WAITING, (last, last, last, last))


def open_claims(database: StrictSqlite, person_ids: Sequence[int] | None = None) -> list[Facts]:
    """Claims that somebody waits for; of some participants only, where keys are given, else with all that have news."""
    if person_ids is None:
        where = "claim.state NOT IN ('closed', 'void') OR claim.id IN (SELECT claim_id FROM claim_news)"
        return list(read_claims(database, where))
    marks = ", ".join("?" for _ in person_ids)
    where = f"claim.owner_id IN ({marks}) AND claim.state NOT IN ('closed', 'void')"
    return list(read_claims(database, where, person_ids))


def makers_with_held_messages(database: StrictSqlite) -> set[int | None]:
    """The makers to whom a message is held until their office opens."""
    sql = "SELECT DISTINCT maker_id FROM ask WHERE held = 1 AND dropped = 0"
    return {row[0] for row in run(database, sql)}


def count_on_hold(database: StrictSqlite) -> int:
    """How many open claims are on hold, themselves or with their owner."""
    sql = (
        "SELECT (SELECT count(*) FROM claim WHERE on_hold = 1 AND state NOT IN ('closed', 'void')) + "
        "(SELECT count(*) FROM participant JOIN claim ON claim.owner_id = participant.id "
        "WHERE participant.on_hold = 1 AND +claim.on_hold = 0 AND claim.state NOT IN ('closed', 'void'))"
    )
    return int(run(database, sql).fetchone()[0])
