"""The claim: one owed card, as its history leaves it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, ClassVar, Final, Literal

State = Literal["pulled", "submitted", "offered", "in_hand", "shipped", "closed", "refused", "void"]
OwnerKind = Literal["person", "several", "nobody", "house"]

STATES: Final[tuple[State, ...]] = (
    "pulled",
    "submitted",
    "offered",
    "in_hand",
    "shipped",
    "closed",
    "refused",
    "void",
)
HOUSE_PARTY: Final = 0
"""Stands for the house among the candidates of a shared card; no participant has this key."""
KINDS: Final = ("redemption", "damage", "shortage")
PLANS: Final = ("submit", "give")
CLOSINGS: Final = (
    "delivered",
    "given",
    "refunded",
    "credited",
    "replaced",
    "bought_out",
    "terms",
    "unclaimed",
    "kept",
)
ENDING_THE_HOUSES_DEBT: Final = ("refunded", "credited", "replaced", "bought_out")
"""Closings that settle with the participant and leave the maker's debt to the house."""
ENDING_ALL_NEWS: Final = ("delivered", "given", "kept")
FAULTS: Final = ("maker", "house", "carrier", "nobody")
FAILURES: Final = ("already_used", "invalid", "expired", "unreadable", "card_missing", "site_down", "must_mail")
"""What a maker's site can answer instead of a reference."""
FAILURES_TO_TRY_AGAIN: Final = ("site_down", "must_mail")
"""Failures after which the claim simply stays to be submitted; the others wait for a decision."""
ANSWERS: Final = ("no_news", "waits_signer", "being_made", "on_its_way", "offers", "refuses")
"""What a maker answers when asked."""
ANSWER_DAYS: Final[Mapping[str, int]] = {"no_news": 30, "waits_signer": 30, "being_made": 30, "on_its_way": 21}
"""Days from the ask until the next one, by answer; common practice, no source."""
EXPIRED_CHOICES: Final = ("try", "ask")
OFFER_ANSWERS: Final = ("take", "wait", "decline")
URGENT_NEWS: Final = ("offered", "refused", "in_hand", "shipped")


@dataclass(frozen=True, slots=True)
class Event:
    """One line of a claim's history.

    `day` is the day on which it happened, in the house's zone (for asks the maker's); `action` is the
    random id of the action that wrote it.
    """

    kind: str
    day: date
    body: Mapping[str, Any]
    action: int = 0


@dataclass(frozen=True, slots=True)
class News:
    """Something a participant has not been told yet. `since` is the day it happened."""

    word: str
    since: date
    person_id: int
    urgent: bool
    urgent_days: tuple[date, ...]
    """The days of the untold urgent news folded into this one, oldest first; each may fall due by terms of its own."""
    routine_days: tuple[date, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """A claim's facts. Money is in minor units of `currency`; days are the house's unless said."""

    id: int
    tag: str
    kind: str = "redemption"
    plan: str = "submit"
    state: State = "pulled"
    owner_kind: OwnerKind = "house"
    owner_id: int | None = None
    candidates: tuple[int, ...] = ()
    owner_since: date | None = None
    first_owner_id: int | None = None
    break_id: int | None = None
    product_id: int | None = None
    maker_id: int | None = None
    account_id: int | None = None
    card_id: int | None = None
    box: str = ""
    subject: str = ""
    """Several subjects or teams are joined by `;`, here and in every file."""
    team: str = ""
    variation: str = ""
    numbered_to: int | None = None
    serial: int | None = None
    features: str = ""
    expires_on: date | None = None
    """A day in the maker's zone."""
    value: int | None = None
    currency: str | None = None
    pull_day: date
    pulled_at: int | None = None
    """Instant of the pull in UTC microseconds, where known."""
    video_seconds: int | None = None
    """Seconds since the stream went live."""
    seen_on_camera: bool = False
    expired_choice: str | None = None
    failed_on: date | None = None
    failed_how: str | None = None
    submitted_on: date | None = None
    method: str = ""
    ship_to: str = ""
    reference: str = ""
    last_asked_on: date | None = None
    """A day in the maker's zone."""
    ask_held: bool = False
    answer: str | None = None
    answered_on: date | None = None
    answer_days: int | None = None
    inbound_tracking: str = ""
    offered_on: date | None = None
    reply_by: date | None = None
    offer_answer: str | None = None
    offer_answered_on: date | None = None
    refused_on: date | None = None
    in_hand_on: date | None = None
    parcel_id: int | None = None
    shipped_on: date | None = None
    tracking: str = ""
    lost_on: date | None = None
    lost_how: str | None = None
    settled_on: date | None = None
    """The day on which the house ended its own debt while the maker's went on."""
    settled_how: str | None = None
    settled_amount: int | None = None
    settled_currency: str | None = None
    closed_on: date | None = None
    closed_how: str | None = None
    closed_amount: int | None = None
    closed_currency: str | None = None
    fault: str | None = None
    last_told_on: date | None = None
    phase_told: tuple[date, ...] = ()
    """Days on which the present owner was told since the card was last offered, came to hand or was shipped."""
    follow_up_on: date | None = None
    noticed_on: date | None = None
    """The day of the latest notice of delay."""
    on_hold: bool = False
    split_from: int | None = None
    linked_to: int | None = None
    last_event_on: date
    news: tuple[News, ...] = ()
    """At most one item a participant: the newest that is untold."""

    @property
    def is_open(self) -> bool:
        """Whether somebody still waits for something."""
        return self.state not in ("closed", "void")


@dataclass(frozen=True, slots=True, kw_only=True)
class Waiting:
    """What the lists read of a claim that is with its maker; the fields are those of `Claim`.

    Tens of thousands of claims only wait. Of each its lists say a line, so that is all that is read of it.
    """

    state: ClassVar[State] = "submitted"
    is_open: ClassVar[bool] = True
    id: int
    tag: str
    kind: str
    owner_kind: OwnerKind
    owner_id: int | None
    owner_since: date | None
    maker_id: int | None
    account_id: int | None
    subject: str
    variation: str
    numbered_to: int | None
    serial: int | None
    submitted_on: date | None
    reference: str
    last_asked_on: date | None
    ask_held: bool
    answer: str | None
    answer_days: int | None
    follow_up_on: date | None
    on_hold: bool
    news: tuple[News, ...] = ()


Listed = Claim | Waiting
"""A claim in a list: whole, or what is read of one that waits."""
