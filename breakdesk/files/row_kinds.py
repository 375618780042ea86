"""What one row of each kind of file says, its cells read. Empty text is "", an empty number, day or amount is None."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.files.dates import Moment
from breakdesk.rules.money import Money


@dataclass(frozen=True, slots=True)
class HouseRow:
    """The house and its terms; an empty term keeps what holds."""

    house: str
    zone: str
    currency: str
    country: str
    submit_within_days: int | None
    tell_urgent_within_days: int | None
    tell_routine_within_days: int | None
    update_every_days: int | None
    line: int


@dataclass(frozen=True, slots=True)
class MakerRow:
    """A maker and its terms; hours as HH:MM in its zone."""

    maker: str
    zone: str
    country: str
    subdivision: str
    opens: str
    closes: str
    closed_days: tuple[date, ...]
    ask_after_months: int | None
    ask_every_days: int | None
    expired_policy: str
    contact: str
    line: int


@dataclass(frozen=True, slots=True)
class ParticipantRow:
    """A participant; without a name it goes by the handle."""

    participant: str
    handle: str
    on_air_name: str
    email: str
    phone: str
    channel: str
    zone: str
    language: str
    address: str
    address_country: str
    address_confirmed_on: date | None
    line: int


@dataclass(frozen=True, slots=True)
class CardRow:
    """A card of a product's checklist; several subjects, teams or features are joined by `;`."""

    product: str
    maker: str
    card: str
    subject: str
    team: str
    variation: str
    numbered_to: int | None
    features: str
    line: int


@dataclass(frozen=True, slots=True)
class SpotRow:
    """A spot of a break.

    `spot` holds what was bought, such as several teams; several participants hold it together, none is the house.
    """

    break_name: str
    products: tuple[str, ...]
    starts_at: Moment | None
    format: str
    spot: tuple[str, ...]
    participants: tuple[str, ...]
    order: str
    price_paid: Money | None
    line: int


@dataclass(frozen=True, slots=True)
class ClaimRow:
    """A claim; several subjects, teams or features are joined by `;`, several participants own it together.

    `cells` holds the cells as written, without spaces around them, in the documented order of the columns ("" for a
    column that the file does not have): two rows are equal where these are.
    """

    tag: str
    break_name: str
    product: str
    maker: str
    account: str
    participants: tuple[str, ...]
    kind: str
    subject: str
    team: str
    variation: str
    numbered_to: int | None
    serial: int | None
    features: str
    code: str
    expires_on: date | None
    value: Money | None
    plan: str
    pulled_at: Moment
    submitted_on: date | None
    reference: str
    last_asked_on: date | None
    last_told_on: date | None
    in_hand_on: date | None
    shipped_on: date | None
    tracking: str
    closed_on: date | None
    closed_how: str
    closed_amount: Money | None
    fault: str
    refused_on: date | None
    seen_on_camera: bool
    note: str
    line: int
    cells: tuple[str, ...]


Row = HouseRow | MakerRow | ParticipantRow | CardRow | SpotRow | ClaimRow
