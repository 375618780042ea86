"""Reads how long claims waited, in one query over the few columns that say so."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from functools import lru_cache
from typing import Any

from breakdesk.rules.claim import Claim
from breakdesk.rules.maker_outlook import CountedWait
from breakdesk.rules.story import fold
from breakdesk.rules.waits import ObservedWait, WaitDays, WaitFacts, facts_of, observed_wait, wait_days
from breakdesk.store.claims import claims_with_keys
from breakdesk.store.engine import run
from breakdesk.store.history import all_claim_events, claim_events
from breakdesk.store.known import has_later_facts
from breakdesk.store.models import StrictSqlite

_COLUMNS = "maker_id, plan, state, submitted_on, in_hand_on, shipped_on, refused_on, closed_on, closed_how"
_ENTERED = f"SELECT {_COLUMNS} FROM claim WHERE submitted_on IS NOT NULL AND plan <> 'give'"
# A card that came back from the post has another day of arrival in its column, a mistake has no day in any.
_TOLD_BY_HISTORY = f"""
SELECT id, {_COLUMNS} FROM claim WHERE submitted_on IS NOT NULL AND plan <> 'give' AND (state = 'void' OR id IN
  (SELECT history_line.thing_id FROM action JOIN history_line ON history_line.action_key = action.key
    WHERE action.kind = 'back in hand' AND history_line.thing = 'claim'))
"""

_day = lru_cache(maxsize=8192)(date.fromisoformat)


def observed_waits(database: StrictSqlite, as_of: date) -> Iterator[CountedWait]:
    """The waits of all claims that had entered by a day of the house, as they stood on it."""
    if has_later_facts(database, as_of):
        yield from _past_waits(database, as_of)
        return
    rows = Counter(run(database, _ENTERED))
    told = {key: tuple(row) for key, *row in run(database, _TOLD_BY_HISTORY)}
    events = claim_events(list(told))
    for key, row in told.items():
        rows[row] -= 1
        days = wait_days(events[key], as_of)
        wait = observed_wait(_facts(row, days), as_of)
        if wait is not None:
            yield row[0], wait, 1
    for counted, count in rows.items():
        wait = observed_wait(_facts(counted), as_of) if count else None
        if wait is not None:
            yield counted[0], wait, count


def wait_of(database: StrictSqlite, claim_id: int, as_of: date) -> ObservedWait | None:
    """The wait of one claim as it stood on a day of the house; None where it had not entered."""
    return waits_of(database, [claim_id], as_of).get(claim_id)


def waits_of(database: StrictSqlite, claim_ids: Sequence[int], as_of: date) -> dict[int, ObservedWait]:
    """The waits of some claims as they stood on a day of the house, by key; those that had not entered are left out."""
    events = claim_events(claim_ids)
    found: Iterable[Claim | None]
    if has_later_facts(database, as_of):
        found = (fold(claim_id, events[claim_id], as_of) for claim_id in claim_ids)
    else:
        found = claims_with_keys(database, claim_ids)
    waits = {}
    for claim in found:
        wait = None if claim is None else observed_wait(facts_of(claim, wait_days(events[claim.id], as_of)), as_of)
        if claim is not None and wait is not None:
            waits[claim.id] = wait
    return waits


def _past_waits(database: StrictSqlite, as_of: date) -> Iterator[CountedWait]:
    for claim_id, events in all_claim_events(database, as_of):
        claim = fold(claim_id, events, as_of)
        if claim is not None and claim.submitted_on is not None:
            wait = observed_wait(facts_of(claim, wait_days(events, as_of)), as_of)
            if wait is not None:
                yield claim.maker_id, wait, 1


def _facts(row: Any, days: WaitDays | None = None) -> WaitFacts:
    _, plan, state, submitted, in_hand, shipped, refused, closed, closed_how = row
    day = _day
    return WaitFacts(
        plan,
        state,
        day(submitted),
        (days.first_in_hand if days else None) or (in_hand and day(in_hand)),
        shipped and day(shipped),
        refused and day(refused),
        closed and day(closed),
        closed_how,
        days.void_on if days else None,
    )
