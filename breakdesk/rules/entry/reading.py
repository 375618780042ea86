"""A reading: a line as labelled fields with the owner, how certain each is and where it comes from."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Generic, Literal, TypeVar

from breakdesk.rules.entry.words import DEFAULT_KIND, DEFAULT_PLAN
from breakdesk.rules.money import Money, format_money
from breakdesk.rules.ownership import Doubt, Owner, Pull

Certainty = Literal["sure", "likely", "unsure"]
Origin = Literal["line", "checklist", "older", "kept", "rule"]
Value = TypeVar("Value")


@dataclass(frozen=True, slots=True)
class Field(Generic[Value]):
    """One part of a reading.

    `sure`: said in full, or the only thing it can mean. `likely`: the best of several, or spelled differently.
    `unsure`: others fit as well, or it contradicts what is known. `origin` says where it comes from: the line, the
    checklist, an older checklist, what was kept from the claim before, or a rule.
    """

    value: Value
    certainty: Certainty = "sure"
    origin: Origin = "line"


def typed(field: Field[Value]) -> Value | None:
    """What stands in the line itself: what a checklist or a rule adds to it was not seen on the card."""
    return field.value if field.origin == "line" else None


@dataclass(frozen=True, slots=True)
class Labelled:
    """One field for the screen: plain label and plain text."""

    label: str
    text: str
    certainty: Certainty
    origin: Origin


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """What stays from one claim to the next until it is said anew; None where there is nothing to keep."""

    product_id: int | None = None
    box: int | None = None
    expires_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class RecentClaim:
    """A claim of this break that was written down lately; `pulled_at` is an aware instant."""

    card_id: int | None
    subjects: tuple[str, ...]
    variation: str
    numbered_to: int | None
    serial: int | None
    pulled_at: datetime


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What a line means.

    `expires_on` is a day in the maker's zone; `named` are the participants whom the line names as owners.
    """

    subjects: Field[tuple[str, ...]] = Field(())
    teams: Field[tuple[str, ...]] = Field(())
    card_id: Field[int | None] = Field(None)
    product_id: Field[int | None] = Field(None)
    variation: Field[str] = Field("")
    numbered_to: Field[int | None] = Field(None)
    serial: Field[int | None] = Field(None)
    features: Field[tuple[str, ...]] = Field(())
    expires_on: Field[date | None] = Field(None)
    box: Field[int | None] = Field(None)
    pick: Field[int | None] = Field(None)
    value: Field[Money | None] = Field(None)
    kind: Field[str] = Field(DEFAULT_KIND, origin="rule")
    plan: Field[str] = Field(DEFAULT_PLAN, origin="rule")
    tag: Field[str] = Field("")
    note: Field[str] = Field("")
    named: Field[tuple[int, ...]] = Field(())
    owner: Field[Owner] = Field(Owner.nobody(), "sure", "rule")
    why: str = ""
    doubts: tuple[Doubt, ...] = ()

    def pull(self) -> Pull:
        """The reading as ownership sees it."""
        return Pull(
            product_id=self.product_id.value,
            subjects=self.subjects.value,
            teams=self.teams.value,
            numbered_to=self.numbered_to.value,
            serial=self.serial.value,
            box=self.box.value,
            pick=self.pick.value,
            named=self.named.value,
        )

    def labelled(self) -> tuple[Labelled, ...]:
        """The fields that hold something, in the order in which a card is described; the owner is not among them."""
        return tuple(
            Labelled(label, text, field.certainty, field.origin) for label, field, text in self._described() if text
        )

    def _described(self) -> Iterator[tuple[str, Field[Any], str]]:
        yield "player", self.subjects, " / ".join(self.subjects.value)
        yield "team", self.teams, " / ".join(self.teams.value)
        yield "variation", self.variation, self.variation.value
        yield "print run", self.numbered_to, f"/{self.numbered_to.value}" if self.numbered_to.value else ""
        yield "serial", self.serial, _figure(self.serial.value)
        yield "features", self.features, ", ".join(self.features.value)
        yield "expires", self.expires_on, self.expires_on.value.isoformat() if self.expires_on.value else ""
        yield "box", self.box, _figure(self.box.value)
        yield "pick", self.pick, _figure(self.pick.value)
        yield "value", self.value, format_money(self.value.value) if self.value.value else ""
        yield "kind", self.kind, self.kind.value
        yield "plan", self.plan, self.plan.value if self.plan.value != DEFAULT_PLAN else ""
        yield "tag", self.tag, self.tag.value
        yield "note", self.note, self.note.value


@dataclass(frozen=True, slots=True)
class Readings:
    """The best reading of a line and the next ones, best first."""

    best: Reading
    runners_up: tuple[Reading, ...] = ()


def _figure(number: int | None) -> str:
    return "" if number is None else str(number)
