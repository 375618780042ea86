"""Reads the house, the makers and the participants as the rules want them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from functools import lru_cache
from typing import Any, cast

from breakdesk.rules.parties import House, Maker, Parties, Person
from breakdesk.rules.terms import HOUSE_DEFAULTS, MAKER_DEFAULTS, terms_from
from breakdesk.store.engine import known_addresses, run
from breakdesk.store.models import StrictSqlite, database_proxy

KEYS_AT_ONCE = 500


def read_house() -> House:
    """The house with its terms."""
    # Every action and every view begins with it: plain statements take a tenth of the time of built ones.
    database = cast("StrictSqlite", database_proxy)
    name = run(database, "SELECT value FROM desk_fact WHERE name = 'house'").fetchone()
    rows = run(database, "SELECT name, value, from_day FROM term WHERE maker_id IS NULL ORDER BY id")
    terms = terms_from(HOUSE_DEFAULTS, ((term, value, _day(from_day)) for term, value, from_day in rows))
    return House(name[0] if name else "The house", terms)


def read_makers(database: StrictSqlite, maker_ids: Iterable[int | None] | None = None) -> dict[int, Maker]:
    """Makers with their terms and closed days; all of them where no keys are given."""
    wanted = None if maker_ids is None else sorted({key for key in maker_ids if key is not None})
    if wanted is not None and len(wanted) > KEYS_AT_ONCE:
        wanted = None
    values = wanted or ()
    among = "IS NOT NULL" if wanted is None else f"IN ({', '.join('?' for _ in wanted)})"
    terms: dict[int, list[tuple[str, str, date | None]]] = {}
    settled = f"SELECT maker_id, name, value, from_day FROM term WHERE maker_id {among} ORDER BY id"
    for maker_id, name, value, from_day in run(database, settled, values):
        terms.setdefault(maker_id, []).append((name, value, _day(from_day)))
    closed: dict[tuple[int, bool], set[date]] = {}
    days = f"SELECT maker_id, day, source FROM closed_day WHERE maker_id {among}"
    for maker_id, day, source in run(database, days, values):
        closed.setdefault((maker_id, source == "holiday"), set()).add(_written_day(day))
    return {
        maker_id: Maker(
            maker_id,
            name,
            terms_from(MAKER_DEFAULTS, terms.get(maker_id, ())),
            frozenset(closed.get((maker_id, True), ())),
            frozenset(closed.get((maker_id, False), ())),
        )
        for maker_id, name in run(database, f"SELECT id, name FROM maker WHERE id {among}", values)
    }


# A card that went to somebody else, as a gift, says nothing about the participant's own address.
_PEOPLE = """
SELECT participant.id, participant.name, participant.handle, participant.on_air_name, participant.on_hold,
       participant.last_told_on, address.text, address.country, address.confirmed_on, address.moved_on, address.since,
       (SELECT max(claim.closed_on) FROM claim
         WHERE claim.owner_id = participant.id AND claim.state = 'closed' AND claim.closed_how = 'delivered'
           AND NOT EXISTS (SELECT 1 FROM parcel WHERE parcel.id = claim.parcel_id AND parcel.recipient_id IS NOT NULL))
  FROM participant
  LEFT JOIN {addresses} AS address ON address.participant_id = participant.id AND address.ended_at IS NULL
"""


def read_people(database: StrictSqlite, person_ids: Iterable[int] | None = None) -> dict[int, Person]:
    """Participants by key; all of them where no keys are given."""
    people: dict[int, Person] = {}
    asked = _PEOPLE.format(addresses=known_addresses(database))
    if person_ids is None:
        for row in run(database, asked):
            people[row[0]] = _person(row)
        return people
    wanted = sorted(set(person_ids))
    for start in range(0, len(wanted), KEYS_AT_ONCE):
        part = wanted[start : start + KEYS_AT_ONCE]
        marks = ", ".join("?" for _ in part)
        for row in run(database, f"{asked} WHERE participant.id IN ({marks})", tuple(part)):
            people[row[0]] = _person(row)
    return people


def _person(row: tuple[Any, ...]) -> Person:
    key, name, handle, on_air, on_hold, told, text, country, confirmed, moved, since, delivered = row
    if delivered and since and delivered < since:
        delivered = None
    return Person(
        id=key,
        name=name,
        handle=handle,
        on_air_name=on_air,
        has_address=bool(text),
        address_country=country or "",
        address_confirmed_on=_day(confirmed),
        moved_on=_day(moved),
        delivered_on=_day(delivered),
        last_told_on=_day(told),
        on_hold=bool(on_hold),
    )


# Every action reads the makers' holidays, which are the same few hundred days each time.
_written_day = lru_cache(maxsize=4096)(date.fromisoformat)


def _day(text: str | None) -> date | None:
    return _written_day(text) if text else None


def read_parties(
    database: StrictSqlite,
    person_ids: Iterable[int] | None = None,
    *,
    maker_ids: Iterable[int | None] | None = None,
) -> Parties:
    """The house, the named makers and participants; all of them where no keys are given."""
    makers = read_makers(database, maker_ids)
    return Parties(house=read_house(), makers=makers, people=read_people(database, person_ids))
