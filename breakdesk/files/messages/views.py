"""What a message is made from: frozen views that the desk fills. None has a place for a code."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from breakdesk.rules.money import Money

NeedKind = Literal["choose", "confirm_address", "confirm_delivery"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClaimLine:
    """One claim as its participant may read of it.

    `what` is subject, variation and print run in one; `offer_what` the replacement offered; `outlook` and `note` are
    whole sentences. What is not known stays None or empty.
    """

    tag: str
    what: str
    product: str = ""
    maker: str = ""
    pulled_on: date | None = None
    submitted_on: date | None = None
    reply_by: date | None = None
    offer_what: str = ""
    tracking: str = ""
    closed_how: str = ""
    amount: Money | None = None
    outlook: str | None = None
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NewsGroup:
    """Claims with the same news; `word` is a key of wording.NEWS."""

    word: str
    claims: tuple[ClaimLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Need:
    """Something the participant must do, best by a day: choose, confirm an address, say whether it arrived."""

    kind: NeedKind
    by: date | None = None
    tag: str = ""
    what: str = ""
    offer_what: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class TellingView:
    """Everything one message to one participant says. Days are days of the house's zone."""

    participant_name: str
    handle: str
    on_air_name: str
    channel: str
    language: str
    zone: str
    house_name: str
    needs: tuple[Need, ...] = ()
    news: tuple[NewsGroup, ...] = ()
    waiting: tuple[ClaimLine, ...] = ()
    next_update_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AskReference:
    """One claim that the maker is asked about."""

    reference: str
    what: str
    submitted_on: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AskView:
    """One ask to one maker for one account."""

    maker: str
    account: str
    house_name: str
    references: tuple[AskReference, ...]
    language: str = "en"


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerClaim:
    """A claim told on the phone. `next_step` is a key of wording.NEXT_STEPS, `next_day` the day that goes with it."""

    tag: str
    what: str
    state: str
    product: str = ""
    pulled_on: date | None = None
    submitted_on: date | None = None
    asked_on: tuple[date, ...] = ()
    last_told_on: date | None = None
    last_told_text: str = ""
    closed_how: str = ""
    tracking: str = ""
    next_step: str = ""
    next_day: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerView:
    """An answer for an upset customer: one claim, or all of a person's claims."""

    participant_name: str
    house_name: str
    claims: tuple[AnswerClaim, ...]
    language: str = "en"


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicLine:
    """A handle, a card and its news: all that a public post may know."""

    handle: str
    what: str
    word: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PublicView:
    """A post that anyone can read."""

    house_name: str
    lines: tuple[PublicLine, ...]
    on: date | None = None
    language: str = "en"
