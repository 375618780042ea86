"""What is owed: the house's debts to people and the makers' debts to the house."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime

from breakdesk.rules.claim import Claim
from breakdesk.rules.days import Age, age, band
from breakdesk.rules.money import Money, total
from breakdesk.rules.names import name_order
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.tell import telling_days


@dataclass(frozen=True, slots=True)
class OwedClaim:
    """A claim somebody waits for; the age counts from the pull day."""

    claim: Claim
    age: Age
    band: str
    next_tell: date | None


@dataclass(frozen=True, slots=True)
class Owed:
    """What one participant is owed: `participant` None for several or nobody yet, the house by its name.

    `value` is in minor units by currency; `no_value` counts the claims without one.
    """

    participant: str | None
    person_id: int | None
    value: dict[str, int]
    no_value: int
    claims: tuple[OwedClaim, ...]


def owed_list(claims: Iterable[Claim], parties: Parties, now: datetime) -> tuple[Owed, ...]:
    """Everything owed over the claims that are neither closed nor void, by participant's name, then tag."""
    claims = list(claims)
    today = parties.house.today(now)
    tellings = telling_days(claims, parties)
    groups: dict[tuple[str | None, int | None], list[OwedClaim]] = {}
    for claim in claims:
        if not claim.is_open:
            continue
        waited = age(min(claim.pull_day, today), today)
        key = (parties.owner_name(claim), claim.owner_id)
        groups.setdefault(key, []).append(
            OwedClaim(
                claim,
                waited,
                band(waited.days),
                tellings.get(claim.owner_id) if claim.owner_id is not None else None,
            )
        )
    owed = [_owed(name, person_id, items) for (name, person_id), items in groups.items()]
    return tuple(sorted(owed, key=lambda item: (name_order(item.participant), item.person_id or 0)))


def _owed(name: str | None, person_id: int | None, items: list[OwedClaim]) -> Owed:
    valued = [
        Money(item.claim.value, item.claim.currency)
        for item in items
        if item.claim.value is not None and item.claim.currency is not None
    ]
    return Owed(
        participant=name,
        person_id=person_id,
        value=total(valued),
        no_value=len(items) - len(valued),
        claims=tuple(sorted(items, key=lambda item: item.claim.tag)),
    )
