"""What the rules know of a break: its cards, spots and people, as plain values that the store fills."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Literal

BreakFormat = Literal["team", "player", "letter", "box", "hit_draft", "serial", "personal"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """One line of a product's checklist; `numbered_to` is the print run, None where the card is not numbered."""

    id: int
    product_id: int
    card: str
    subjects: tuple[str, ...]
    teams: tuple[str, ...]
    variation: str = ""
    numbered_to: int | None = None
    features: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Spot:
    """The right to a part of what comes out.

    `holds` is what was bought (teams, players, letters, box numbers, pick numbers or digits), `owners` the ids of the
    participants who share it: none means the house, because the spot is unsold. Without a product it counts for all of
    the break's products.
    """

    id: int
    product_id: int | None
    holds: tuple[str, ...]
    owners: tuple[int, ...]
    order: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class BreakFacts:
    """One break as the rules see it; `starts_at` is an aware instant in UTC."""

    id: int
    name: str
    format: BreakFormat
    product_ids: tuple[int, ...]
    spots: tuple[Spot, ...]
    starts_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Person:
    """A participant by the names that a line may use; only `on_air_name` may be shown to a stream."""

    id: int
    name: str
    handle: str
    on_air_name: str
