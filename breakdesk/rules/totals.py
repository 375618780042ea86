"""Totals of what is owed, grouped in every way a house asks for; each line backed by its claims."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from breakdesk.rules.claim import Claim
from breakdesk.rules.days import BANDS, add_months, age, band
from breakdesk.rules.debts import SIDES, Debt, Side
from breakdesk.rules.money import Money, total
from breakdesk.rules.names import folded

NOBODY_YET, SEVERAL, HOUSE_ITSELF, NONE_KNOWN = "nobody yet", "several", "the house", "not known"


@dataclass(frozen=True, slots=True)
class Line:
    """Some claims under one name: how many, their value in minor units by currency, and how many have none."""

    name: str
    claims: tuple[Claim, ...]

    @property
    def count(self) -> int:
        """How many claims."""
        return len(self.claims)

    @property
    def value(self) -> dict[str, int]:
        """Their values, in minor units by currency."""
        return total(
            Money(claim.value, claim.currency)
            for claim in self.claims
            if claim.value is not None and claim.currency is not None
        )

    @property
    def no_value(self) -> int:
        """How many have no value; they are never taken for 0."""
        return sum(claim.value is None or claim.currency is None for claim in self.claims)

    @property
    def tags(self) -> tuple[str, ...]:
        """The list that backs the line."""
        return tuple(sorted(claim.tag for claim in self.claims))


@dataclass(frozen=True, slots=True, kw_only=True)
class Names:
    """What things are called, by key."""

    makers: Mapping[int, str]
    accounts: Mapping[int, str]
    people: Mapping[int, str]
    breaks: Mapping[int, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Totals:
    """What one side owes at the end of a day, in all and by band of age, maker, account, participant and break."""

    side: Side
    whole: Line
    by_band: tuple[Line, ...]
    by_maker: tuple[Line, ...]
    by_account: tuple[Line, ...]
    by_participant: tuple[Line, ...]
    by_break: tuple[Line, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Movement:
    """What happened to one side's debts in a period: opening + added - closed = closing, claim by claim."""

    side: Side
    first: date
    last: date
    opening: Line
    added: Line
    closed: Line
    closed_by_how: tuple[Line, ...]
    closing: Line


def totals_of(debts: Sequence[Debt], today: date, names: Names) -> tuple[Totals, Totals]:
    """What the house owes people, and what makers owe the house, at the end of a day."""
    house, makers = (_side_totals(side, debts, today, names) for side in SIDES)
    return house, makers


def _side_totals(side: Side, debts: Iterable[Debt], today: date, names: Names) -> Totals:
    claims = [debt.claim for debt in debts if debt.side == side and debt.owed_at_end_of(today)]
    bands = {name: Line(name, ()) for name in BANDS}
    bands |= {line.name: line for line in _lines(claims, lambda claim: band(age(claim.pull_day, today).days))}
    return Totals(
        side=side,
        whole=Line("in all", tuple(claims)),
        by_band=tuple(bands.values()),
        by_maker=_lines(claims, lambda claim: _name(names.makers, claim.maker_id)),
        by_account=_lines(claims, lambda claim: _account(claim, names)),
        by_participant=_lines(claims, lambda claim: participant_name(claim, names)),
        by_break=_lines(claims, lambda claim: _name(names.breaks, claim.break_id)),
    )


def movement(debts: Sequence[Debt], side: Side, first: date, last: date) -> Movement:
    """What happened to one side's debts from the beginning of `first` to the end of `last`."""
    before = first - timedelta(days=1)
    own = [debt for debt in debts if debt.side == side and debt.begins <= last]
    lived = [debt for debt in own if debt.ended is None or debt.ended >= first]
    closed = [debt for debt in lived if debt.ended is not None and debt.ended <= last]
    ways = {debt.claim.id: debt.how or "" for debt in closed}
    return Movement(
        side=side,
        first=first,
        last=last,
        opening=_line("opening", (debt for debt in own if debt.owed_at_end_of(before))),
        added=_line("added", (debt for debt in lived if debt.begins >= first)),
        closed=_line("closed", closed),
        closed_by_how=_lines([debt.claim for debt in closed], lambda claim: ways[claim.id]),
        closing=_line("closing", (debt for debt in own if debt.owed_at_end_of(last))),
    )


def months(debts: Sequence[Debt], side: Side, today: date, count: int = 12) -> tuple[Movement, ...]:
    """Month by month, oldest first; the last is the present month so far."""
    this_month = today.replace(day=1)
    starts = [add_months(this_month, -back) for back in range(count - 1, -1, -1)]
    ends = [min(add_months(start, 1) - timedelta(days=1), today) for start in starts]
    return tuple(movement(debts, side, start, end) for start, end in zip(starts, ends, strict=True))


def by_month(dated: Iterable[tuple[date, Claim]], today: date, count: int = 12) -> tuple[Line, ...]:
    """Claims by the month of their day, the oldest first, the present one so far last; other months are left out."""
    this_month = today.replace(day=1)
    found: dict[date, list[Claim]] = {add_months(this_month, -back): [] for back in range(count - 1, -1, -1)}
    for day, claim in dated:
        if day <= today and day.replace(day=1) in found:
            found[day.replace(day=1)].append(claim)
    return tuple(Line(f"{month:%b %Y}", tuple(claims)) for month, claims in found.items())


def participant_name(claim: Claim, names: Names) -> str:
    """Who is owed a claim, in words."""
    if claim.owner_kind == "several":
        return SEVERAL
    if claim.owner_kind == "house":
        return HOUSE_ITSELF
    return names.people[claim.owner_id] if claim.owner_id is not None else NOBODY_YET


def _account(claim: Claim, names: Names) -> str:
    maker = _name(names.makers, claim.maker_id)
    return f"{maker}, {names.accounts[claim.account_id]}" if claim.account_id is not None else f"{maker}, no account"


def _name(names: Mapping[int, str], key: int | None) -> str:
    return names[key] if key is not None else NONE_KNOWN


def _line(name: str, debts: Iterable[Debt]) -> Line:
    return Line(name, tuple(debt.claim for debt in debts))


def _lines(claims: Iterable[Claim], name_of: Callable[[Claim], str]) -> tuple[Line, ...]:
    groups: dict[str, list[Claim]] = {}
    for claim in claims:
        groups.setdefault(name_of(claim), []).append(claim)
    return tuple(Line(name, tuple(groups[name])) for name in sorted(groups, key=lambda name: (folded(name), name)))
