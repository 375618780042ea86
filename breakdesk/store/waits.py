"""Reads how long claims waited, in one query over the few columns that say so."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from functools import lru_cache

from breakdesk.rules.story import fold
from breakdesk.rules.waits import ObservedWait, WaitDays, WaitFacts, facts_of, observed_wait, wait_days
from breakdesk.store.engine import run
from breakdesk.store.history import claim_events
from breakdesk.store.models import StrictSqlite
from breakdesk.store.past import has_later_facts, past_of

_ENTERED = """
SELECT id, maker_id, plan, state, submitted_on, in_hand_on, shipped_on, refused_on, closed_on, closed_how
  FROM claim WHERE submitted_on IS NOT NULL AND plan <> 'give'
"""
_IN_DOUBT = """
SELECT id FROM claim WHERE state = 'void' AND submitted_on IS NOT NULL
UNION
SELECT history_line.thing_id FROM action JOIN history_line ON history_line.action_key = action.key
 WHERE action.kind = 'back in hand' AND history_line.thing = 'claim'
"""

_day = lru_cache(maxsize=8192)(date.fromisoformat)

ClaimWait = tuple[int, int | None, ObservedWait]
"""A claim's key, its maker's, and its wait."""


def observed_waits(database: StrictSqlite, as_of: date) -> Iterator[ClaimWait]:
    """The waits of all claims that had entered by a day of the house, as they stood on it."""
    later = "SELECT 1 FROM history_line WHERE day > ? AND kind <> 'asked' LIMIT 1"
    if run(database, later, (as_of.isoformat(),)).fetchone() is None:
        yield from _present_waits(database, as_of)
        return
    for claim_id, events in all_claim_events(database, as_of):
        claim = fold(claim_id, events, as_of)
        if claim is not None and claim.submitted_on is not None:
            wait = observed_wait(facts_of(claim, wait_days(events, as_of)), as_of)
            if wait is not None:
                yield claim_id, claim.maker_id, wait


def _present_waits(database: StrictSqlite, as_of: date) -> Iterator[ClaimWait]:
    days = _days_from_history(database, as_of)
    parsed = _day
    rows = run(database, _ENTERED)
    for key, maker_id, plan, state, submitted, in_hand, shipped, refused, closed, closed_how in rows:
        facts = WaitFacts(
            plan,
            state,
            parsed(submitted),
            in_hand and parsed(in_hand),
            shipped and parsed(shipped),
            refused and parsed(refused),
            closed and parsed(closed),
            closed_how,
            None,
        )
        if key in days:
            facts = facts._replace(in_hand_on=days[key].first_in_hand or facts.in_hand_on, void_on=days[key].void_on)
        wait = observed_wait(facts, as_of)
        if wait is not None:
            yield key, maker_id, wait


def _days_from_history(database: StrictSqlite, until: date) -> dict[int, WaitDays]:
    """Of the few claims whose columns do not tell when they arrived first or became void."""
    keys = [row[0] for row in run(database, _IN_DOUBT)]
    return {key: wait_days(events, until) for key, events in claim_events(keys).items()}
