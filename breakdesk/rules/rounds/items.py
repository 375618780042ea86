"""What the five rounds consist of: the items of each list, what is put aside, and all five at one instant."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime
from typing import Generic, TypeVar

from breakdesk.rules.claim import Claim, Listed
from breakdesk.rules.days import Age
from breakdesk.rules.parties import Maker, Person

Said = TypeVar("Said", bound=Listed, covariant=True)
"""A claim as much as its reader needs of it."""


@dataclass(frozen=True, slots=True)
class Parked:
    """Items put aside until a later day, by round: claims' ids, for tell and ship participants' ids."""

    items: Collection[tuple[str, int]] = frozenset()

    def has(self, round_name: str, item_id: int | None) -> bool:
        """Whether the item is put aside in this round."""
        return item_id is not None and (round_name, item_id) in self.items


@dataclass(frozen=True, slots=True)
class ToSubmit:
    claim: Claim
    submit_by: datetime | None
    expired: bool


@dataclass(frozen=True, slots=True)
class ToAsk:
    claim: Listed
    ask_from: date
    age: Age
    band: str


@dataclass(frozen=True, slots=True)
class MakerToAsk:
    maker: Maker
    open_now: bool
    opens_at: datetime | None
    claims: tuple[ToAsk, ...]


@dataclass(frozen=True, slots=True)
class ToTell(Generic[Said]):
    claim: Said
    news: str
    since: date


@dataclass(frozen=True, slots=True)
class PersonToTell:
    person: Person
    due_on: date
    items: tuple[ToTell[Listed], ...]


@dataclass(frozen=True, slots=True)
class PersonToShip:
    person: Person
    address_confirmed: bool
    claims: tuple[Claim, ...]


@dataclass(frozen=True, slots=True)
class Review:
    """A maker that was marked, to be looked at again from a day on; `what` is what happened to it, in free words."""

    maker_id: int
    maker: str
    what: str
    due_on: date


@dataclass(frozen=True, slots=True)
class ToDecide:
    """What waits for the house: about a claim, or without one about a promise to a participant or a marked maker."""

    claim: Listed | None
    participant: str | None
    why: str
    since: date
    promise_id: int | None = None
    review: Review | None = None


@dataclass(frozen=True, slots=True)
class Promise:
    """Something promised to a participant on a day."""

    id: int
    person_id: int
    due_on: date


@dataclass(frozen=True, slots=True)
class Today:
    """The five lists as of one instant."""

    as_of: datetime
    submit: tuple[ToSubmit, ...]
    ask: tuple[MakerToAsk, ...]
    tell: tuple[PersonToTell, ...]
    ship: tuple[PersonToShip, ...]
    decide: tuple[ToDecide, ...]
