"""After a parcel left: when a carrier takes a report of its loss, and what is due next.

The days are terms of the house, because each carrier and each insurer sets its own; the defaults are common practice,
no source. What is covered is for their conditions to say.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Final, Literal

from breakdesk.rules.clocks import arrived_by
from breakdesk.rules.parties import House, Person

Phase = Literal["wait", "ask", "report", "closing", "closed", "reported"]
CLOSING_SOON_DAYS: Final = 7


@dataclass(frozen=True, slots=True)
class LossWindow:
    """The days from `opens` to `closes`, both included, on which the carrier takes a report of loss."""

    opens: date
    closes: date

    def is_open(self, day: date) -> bool:
        """Whether a loss can be reported on a day."""
        return self.opens <= day <= self.closes


def loss_window(shipped_on: date, house: House, *, abroad: bool) -> LossWindow:
    """When the loss of a parcel can be reported, by the terms of the day on which it left."""
    suffix = "_abroad" if abroad else ""
    opens = house.terms.count_on(f"loss_opens_after_days{suffix}", shipped_on)
    closes = house.terms.count_on(f"loss_closes_after_days{suffix}", shipped_on)
    first = shipped_on + timedelta(days=opens)
    return LossWindow(first, max(first, shipped_on + timedelta(days=closes)))


def is_abroad(country: str, house: House, day: date) -> bool:
    """Whether an address is in another country than the house; not where either is unknown."""
    home = house.terms.on("country", day)
    return bool(country and home and country.upper() != home.upper())


@dataclass(frozen=True, slots=True)
class NextStep:
    """What is due next with a parcel, in words for the person at the desk, and the day by which."""

    phase: Phase
    words: str
    by: date | None


def next_step(
    state: str, shipped_on: date, person: Person, house: House, today: date, reported_on: date | None = None
) -> NextStep:
    """What comes next for a parcel that left: waiting, asking whether it arrived, or the report to the carrier."""
    window = loss_window(shipped_on, house, abroad=is_abroad(person.address_country, house, shipped_on))
    if reported_on is not None:
        return NextStep("reported", "reported to the carrier; record what it answers", None)
    if state == "returned":
        return NextStep("ask", "ask for the right address, then take the card back in hand", None)
    if today > window.closes:
        return NextStep("closed", "the carrier's time for a report is over; make it good", window.closes)
    is_late = window.closes - today <= timedelta(days=CLOSING_SOON_DAYS)
    if state == "damaged":
        # Damage is plain to see at once: only a loss has to be waited for.
        words = "keep wrapping and photos, and report the damage to the carrier"
        return NextStep("closing" if is_late else "report", words, window.closes)
    if state in ("lost", "not_delivered"):
        if today < window.opens:
            return NextStep("wait", "trace it; the carrier takes a report from then on", window.opens)
        return NextStep("closing" if is_late else "report", "report the loss to the carrier", window.closes)
    asks_on = arrived_by(shipped_on, person, house)
    if today < asks_on:
        return NextStep("wait", "on its way", asks_on)
    return NextStep("ask", "ask whether it arrived; the carrier takes a report until then", window.closes)
