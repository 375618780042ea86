"""Finds the claims that a view could need, by the indexed due days, and replays them for a day in the past."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta

from breakdesk.rules.claim import Claim as Facts
from breakdesk.rules.parties import Person
from breakdesk.rules.story import active, fold
from breakdesk.store import models
from breakdesk.store.claims import read_claims
from breakdesk.store.history import all_claim_events
from breakdesk.store.models import StrictSqlite

_TODAY = """
claim.state IN ('pulled', 'in_hand')
OR (claim.state = 'submitted' AND claim.ask_from <= ?)
OR claim.decide_from <= ?
OR (claim.state NOT IN ('closed', 'void')
    AND claim.owner_id IN (SELECT id FROM participant WHERE tell_due_on <= ?))
OR claim.id IN (SELECT claim_id FROM claim_news
                 WHERE participant_id IN (SELECT id FROM participant WHERE tell_due_on <= ?))
"""


def claims_for_today(database: StrictSqlite, day: date) -> list[Facts]:
    """Every claim that any of the five lists could hold on a day of the house: some more, never fewer."""
    last = (day + timedelta(days=1)).isoformat()
    return list(read_claims(database, _TODAY, (last, last, last, last)))


def open_claims(database: StrictSqlite, person_ids: Sequence[int] | None = None) -> list[Facts]:
    """Claims that somebody waits for; of some participants only, where keys are given."""
    if person_ids is None:
        return list(read_claims(database, "claim.state NOT IN ('closed', 'void')"))
    marks = ", ".join("?" for _ in person_ids)
    where = f"claim.owner_id IN ({marks}) AND claim.state NOT IN ('closed', 'void')"
    return list(read_claims(database, where, person_ids))


def latest_fact_day() -> date | None:
    """The latest day of anything that happened to a claim; asks, which carry the maker's date, left out."""
    table = models.HistoryLine
    row = table.select(table.day).where(table.kind != "asked").order_by(table.day.desc()).limit(1).first()
    return None if row is None else row.day


@dataclass(slots=True)
class Past:
    """The claims as of a day in the past, and what was known of people by then."""

    claims: list[Facts] = field(default_factory=list)
    told: dict[int, date] = field(default_factory=dict)
    delivered: dict[int, date] = field(default_factory=dict)

    def person(self, person: Person, day: date) -> Person:
        """A participant with later facts left out."""
        return replace(
            person,
            last_told_on=self.told.get(person.id),
            delivered_on=self.delivered.get(person.id),
            address_confirmed_on=_by(person.address_confirmed_on, day),
            moved_on=_by(person.moved_on, day),
        )


def claims_as_of(database: StrictSqlite, day: date) -> Past:
    """Every claim pulled by a day, folded from the events up to it."""
    past = Past()
    for claim_id, events in _until(database, day):
        claim = fold(claim_id, events, until=day)
        if claim is None:
            continue
        past.claims.append(claim)
        for event in active(events):
            if event.kind == "told" and event.day <= day and event.body.get("person") is not None:
                _later(past.told, event.body["person"], event.day)
        if claim.closed_how == "delivered" and claim.owner_id is not None and claim.closed_on is not None:
            _later(past.delivered, claim.owner_id, claim.closed_on)
    return past


def _until(database: StrictSqlite, day: date) -> Iterator[tuple[int, list]]:  # type: ignore[type-arg]
    return all_claim_events(database, day + timedelta(days=1))


def _later(days: dict[int, date], key: int, day: date) -> None:
    days[key] = max(day, days.get(key, day))


def _by(known: date | None, day: date) -> date | None:
    return known if known is not None and known <= day else None
