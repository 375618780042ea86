"""The desk as of a day in the past: facts dated later are left out, by the day on which they happened."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from breakdesk.rules.claim import Claim as Facts
from breakdesk.rules.parties import Person
from breakdesk.rules.story import active, fold
from breakdesk.store.engine import known_addresses, run
from breakdesk.store.history import all_claim_events
from breakdesk.store.models import StrictSqlite

ADDRESS_CONFIRMED, ADDRESS_CHANGED, MOVED = "address confirmed", "address changed", "moved"
HELD, RELEASED = "held", "released"

MakersDays = Mapping[int | None, date]
"""The date at each maker, by key; by None where no maker is known."""


def has_later_facts(database: StrictSqlite, day: date, makers_days: MakersDays) -> bool:
    """Whether anything in the history is dated after a day of the house; asks after the day of their maker."""
    later = "SELECT 1 FROM history_line WHERE day > ? AND kind <> 'asked' LIMIT 1"
    if run(database, later, (day.isoformat(),)).fetchone() is not None:
        return True
    earliest = min(makers_days.values(), default=day)
    asks = run(
        database,
        "SELECT claim.maker_id, max(history_line.day) FROM history_line JOIN claim ON claim.id = history_line.thing_id "
        "WHERE history_line.day > ? AND history_line.kind = 'asked' "
        "GROUP BY claim.maker_id",
        (earliest.isoformat(),),
    )
    return any(date.fromisoformat(asked) > makers_days.get(maker_id, day) for maker_id, asked in asks)


@dataclass(frozen=True, slots=True)
class _Address:
    """Where a participant's cards go, and what is known of that."""

    text: str = ""
    country: str = ""
    confirmed_on: date | None = None
    moved_on: date | None = None
    since: date | None = None


@dataclass(slots=True)
class Past:
    """The claims as of a day in the past, and what was known of people by then."""

    day: date
    claims: list[Facts] = field(default_factory=list)
    told: dict[int, date] = field(default_factory=dict)
    delivered: dict[int, date] = field(default_factory=dict)
    _addresses: dict[int, _Address] = field(default_factory=dict)
    _holds: dict[int, bool] = field(default_factory=dict)

    def person(self, person: Person) -> Person:
        """A participant with later facts left out."""
        address = self._addresses.get(person.id, _Address())
        delivered = self.delivered.get(person.id)
        if delivered is not None and address.since is not None and delivered < address.since:
            delivered = None
        return replace(
            person,
            has_address=bool(address.text),
            address_country=address.country,
            address_confirmed_on=_by(address.confirmed_on, self.day),
            moved_on=_by(address.moved_on, self.day),
            delivered_on=delivered,
            last_told_on=self.told.get(person.id),
            on_hold=self._holds.get(person.id, person.on_hold),
        )


def past_of(database: StrictSqlite, day: date, makers_days: MakersDays) -> Past:
    """Every claim pulled by a day of the house, folded from the events up to it, and what was known of people."""
    past = Past(day)
    gifts = {row[0] for row in run(database, "SELECT id FROM parcel WHERE recipient_id IS NOT NULL")}
    for claim_id, events in all_claim_events(database, day, max([day, *makers_days.values()])):
        claim = fold(claim_id, events, day, makers_days)
        if claim is None:
            continue
        past.claims.append(claim)
        for event in active(events):
            if event.kind == "told" and event.day <= day and event.body.get("person") is not None:
                _later(past.told, event.body["person"], event.day)
        arrived = claim.closed_how == "delivered" and claim.parcel_id not in gifts
        if arrived and claim.owner_id is not None and claim.closed_on is not None:
            _later(past.delivered, claim.owner_id, claim.closed_on)
    past._addresses, past._holds = _people_as_of(database, day)
    return past


def _people_as_of(database: StrictSqlite, day: date) -> tuple[dict[int, _Address], dict[int, bool]]:
    rows: dict[int, _Address] = {}
    present: dict[int, _Address] = {}
    columns = "id, participant_id, text, country, confirmed_on, moved_on, since, ended_at"
    for row in run(database, f"SELECT {columns} FROM {known_addresses(database)} ORDER BY id"):
        key, person_id, text, country, confirmed, moved, since, ended_at = row
        rows[key] = _Address(text, country, _day(confirmed), _day(moved), _day(since))
        if ended_at is None:
            present[person_id] = rows[key]
    holds: dict[int, bool] = {}
    later = (
        "SELECT thing_id, kind, body FROM history_line WHERE thing = 'participant' AND day > ? "
        f"AND kind IN ({', '.join('?' for _ in _TOLD_BY_LINES)}) ORDER BY id DESC"
    )
    for person_id, kind, body in run(database, later, (day.isoformat(), *_TOLD_BY_LINES)):
        if kind in (HELD, RELEASED):
            holds[person_id] = kind == RELEASED
        else:
            present[person_id] = _before(present.get(person_id, _Address()), kind, json.loads(body), rows)
    return present, holds


_TOLD_BY_LINES = (ADDRESS_CONFIRMED, ADDRESS_CHANGED, MOVED, HELD, RELEASED)


def _before(address: _Address, kind: str, body: Mapping[str, Any], rows: Mapping[int, _Address]) -> _Address:
    """An address as it was before a line of the history."""
    if kind == ADDRESS_CHANGED:
        return rows.get(body.get("address_before", 0), _Address())
    moved = _day(body.get("moved_before"))
    if kind == MOVED:
        return replace(address, moved_on=moved)
    return replace(address, confirmed_on=_day(body.get("confirmed_before")), moved_on=moved)


def parked_as_of(database: StrictSqlite, day: date) -> frozenset[tuple[str, int]]:
    """What is put aside on a day, by round and key."""
    rows: Iterable[tuple[str, int]] = run(
        database,
        "SELECT park.round, park.item_id FROM park LEFT JOIN action ON action.key = park.action_key "
        "WHERE park.until > ? AND park.undone = 0 AND coalesce(action.day, '') <= ?",
        (day.isoformat(), day.isoformat()),
    )
    return frozenset((name, item_id) for name, item_id in rows)


def parked_until(database: StrictSqlite, round_name: str, day: date) -> dict[int, date]:
    """The day on which each item of a round that is put aside on a day comes back, by its key."""
    rows = run(
        database,
        "SELECT item_id, MAX(until) FROM park WHERE round = ? AND until > ? AND undone = 0 GROUP BY item_id",
        (round_name, day.isoformat()),
    )
    return {item_id: date.fromisoformat(until) for item_id, until in rows}


def _later(days: dict[int, date], key: int, day: date) -> None:
    days[key] = max(day, days.get(key, day))


def _by(known: date | None, day: date) -> date | None:
    return known if known is not None and known <= day else None


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None
