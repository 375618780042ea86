"""Folds a claim's history into the claim.

Every state, owner and piece of news is what the events say in order of the day they happened; nothing
else in the program decides it. An event of an action that was later undone is left out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta
from types import MappingProxyType

from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.events.effects import EFFECTS
from breakdesk.rules.events.facts import Facts

_NO_DAYS: Mapping[int | None, date] = MappingProxyType({})


def fold(
    claim_id: int,
    events: Iterable[Event],
    until: date | None = None,
    makers_until: Mapping[int | None, date] = _NO_DAYS,
) -> Claim | None:
    """The claim as `events` leave it; with `until`, as known at the end of that day.

    Events come in the order they were recorded and are taken by the day on which they happened. Asks carry
    the maker's date: `makers_until` says, by maker, up to which of its dates they count. None where the
    claim was not pulled by then. A claim whose pull was undone is void.
    """
    events = list(events)
    ordered = sorted(
        (event for event in active(events) if until is None or event.kind == "asked" or event.day <= until),
        key=lambda event: (house_day(event), event.kind != "pulled"),
    )
    if not ordered or ordered[0].kind != "pulled":
        return _undone_pull(claim_id, events, until)
    facts: Facts = {"id": claim_id, "news": {}}
    for event in ordered:
        if event.kind == "asked" and until is not None and event.day > makers_until.get(facts.get("maker_id"), until):
            continue
        EFFECTS[event.kind](facts, event)
        facts["last_event_on"] = max(_earliest_house_day(event), facts.get("last_event_on", date.min))
    facts["news"] = tuple(facts["news"].values())
    return Claim(**facts)


def house_day(event: Event) -> date:
    """The house's day of an event: its own, but for an ask, which carries the maker's and may name the house's."""
    said = event.body.get("house_day")
    return event.day if said is None else date.fromisoformat(said)


def _earliest_house_day(event: Event) -> date:
    if event.kind == "asked" and "house_day" not in event.body:
        # Only the maker's date is known: where the maker is ahead, the house's was the day before.
        return event.day - timedelta(days=1)
    return house_day(event)


def standing(events: Iterable[Event]) -> list[Event]:
    """The events that no later standing `undone` event takes back, those included."""
    taken_back: set[int] = set()
    kept: list[Event] = []
    for event in reversed(list(events)):
        if event.action in taken_back:
            continue
        if event.kind == "undone":
            taken_back.add(event.body["action"])
        kept.append(event)
    kept.reverse()
    return kept


def active(events: Iterable[Event]) -> list[Event]:
    """The events that count: those that stand, without the taking back itself."""
    return [event for event in standing(events) if event.kind != "undone"]


def _undone_pull(claim_id: int, events: Sequence[Event], until: date | None) -> Claim | None:
    for event in events:
        if event.kind == "pulled" and (until is None or event.day <= until):
            facts: Facts = {"id": claim_id, "news": {}}
            EFFECTS["pulled"](facts, event)
            facts.update(state="void", news=(), last_event_on=event.day)
            return Claim(**facts)
    return None
