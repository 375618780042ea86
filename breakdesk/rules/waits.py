"""What of a claim's wait has been observed by a day: that its card came, that it ended otherwise, or that it goes on.

A wait begins on the day of submission. It ends with the card only when the card came: in hand, or, where the maker sent
it to the participant directly, on the day it was shipped or closed as delivered. A refusal, a mistake (void) and a
closing without the card end the watching, not the wait: such a card had not come by then, and that is all that is
known. Leaving these claims out, or taking them for arrivals, would make a maker look faster than it is.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal, NamedTuple

from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.outlook import Wait
from breakdesk.rules.story import active

End = Literal["came", "refused", "void", "closed", "waiting"]


class WaitFacts(NamedTuple):
    """The few facts of a claim on which its wait depends; days are the house's."""

    plan: str
    state: str
    submitted_on: date | None
    in_hand_on: date | None
    shipped_on: date | None
    refused_on: date | None
    closed_on: date | None
    closed_how: str | None
    void_on: date | None


class ObservedWait(NamedTuple):
    """A wait and how it stands on the day asked for."""

    wait: Wait
    end: End


@dataclass(frozen=True, slots=True)
class WaitDays:
    """Days that a claim's present facts no longer tell: its first arrival, and when it was found to be a mistake."""

    first_in_hand: date | None
    void_on: date | None


def wait_days(events: Iterable[Event], until: date) -> WaitDays:
    """Reads both days off a claim's history. A card that came back from the post had arrived the first time."""
    first_in_hand = void_on = None
    for event in sorted(active(events), key=lambda event: event.day):
        if event.day > until:
            break
        if event.kind == "in_hand" and first_in_hand is None and not event.body.get("again"):
            first_in_hand = event.day
        elif event.kind == "submitted":
            first_in_hand = None
        elif event.kind == "void":
            void_on = event.day
    return WaitDays(first_in_hand, void_on)


def facts_of(claim: Claim, days: WaitDays | None = None) -> WaitFacts:
    """The facts of a claim; with `days` where its history was read."""
    in_hand_on, void_on = claim.in_hand_on, claim.last_event_on if claim.state == "void" else None
    if days is not None:
        in_hand_on, void_on = days.first_in_hand or in_hand_on, days.void_on or void_on
    return WaitFacts(
        claim.plan,
        claim.state,
        claim.submitted_on,
        in_hand_on,
        claim.shipped_on,
        claim.refused_on,
        claim.closed_on,
        claim.closed_how,
        void_on,
    )


def arrival(facts: WaitFacts) -> date | None:
    """The day on which the card came from the maker, to the house or straight to the participant."""
    submitted_on = facts.submitted_on or date.min
    for day in (facts.in_hand_on, facts.shipped_on):
        if day is not None and day >= submitted_on:
            return day
    return facts.closed_on if facts.closed_how == "delivered" else None


def ending(facts: WaitFacts) -> tuple[date | None, End]:
    """The day on which the maker's debt ended, and how; None while it goes on. Settling with people does not end it."""
    came = arrival(facts)
    if came is not None:
        return came, "came"
    state = facts.state
    if state in ("refused", "closed") and facts.refused_on is not None:
        return facts.refused_on, "refused"
    if state == "void":
        return facts.void_on, "void"
    return (facts.closed_on, "closed") if state == "closed" else (None, "waiting")


def observed_wait(facts: WaitFacts, as_of: date) -> ObservedWait | None:
    """The wait as observed on a day; None where the claim never entered: not submitted by then, or given away."""
    start = facts.submitted_on
    if start is None or start > as_of or facts.plan == "give" or facts.closed_how == "given":
        return None
    day, end = ending(facts)
    if day is None or day > as_of:
        day, end = as_of, "waiting"
    return ObservedWait(Wait(max((day - start).days, 0), end == "came"), end)
