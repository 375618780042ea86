"""Folds a claim's history into the claim.

Every state, owner and piece of news is what the events say in order of the day they happened; nothing
else in the program decides it. An event of an action that was later undone is left out.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from datetime import date, timedelta
from types import MappingProxyType
from typing import Any

from breakdesk.rules.claim import (
    ENDING_ALL_NEWS,
    ENDING_THE_HOUSES_DEBT,
    FAILURES_TO_TRY_AGAIN,
    URGENT_NEWS,
    Claim,
    Event,
    News,
)
from breakdesk.rules.identity import take_for

_Facts = dict[str, Any]

DAY_FIELDS = frozenset({"expires_on", "reply_by", "pull_day", "follow_up_on", "submitted_on"})
"""Keys of event bodies that hold an ISO day."""

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
    facts: _Facts = {"id": claim_id, "news": {}}
    for event in ordered:
        if event.kind == "asked" and until is not None and event.day > makers_until.get(facts.get("maker_id"), until):
            continue
        _HANDLERS[event.kind](facts, event)
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
            facts: _Facts = {"id": claim_id, "news": {}}
            _pulled(facts, event)
            facts.update(state="void", news=(), last_event_on=event.day)
            return Claim(**facts)
    return None


def _days(body: Mapping[str, Any]) -> _Facts:
    return {
        key: date.fromisoformat(value) if key in DAY_FIELDS and value is not None else value
        for key, value in body.items()
    }


def _add_news(facts: _Facts, word: str, day: date, person_id: int | None, *, urgent: bool | None = None) -> None:
    if person_id is None:
        return
    burning = word in URGENT_NEWS if urgent is None else urgent
    older: News | None = facts["news"].get(person_id)
    urgent_days = older.urgent_days if older else ()
    routine_days = older.routine_days if older else ()
    if burning:
        urgent_days = tuple(dict.fromkeys((*urgent_days, day)))
    else:
        routine_days = tuple(dict.fromkeys((*routine_days, day)))
    facts["news"][person_id] = News(word, day, person_id, burning, urgent_days, routine_days)


def _owner_news(facts: _Facts, event: Event, word: str) -> None:
    if not event.body.get("quiet"):
        _add_news(facts, word, event.day, facts.get("owner_id"))


def _pulled(facts: _Facts, event: Event) -> None:
    body = _days(event.body)
    body.pop("quiet", None)
    body["candidates"] = tuple(body.get("candidates", ()))
    body["seen_on_camera"] = bool(body.get("seen_on_camera"))
    facts.update(body)
    facts["state"] = "pulled"
    facts.setdefault("pull_day", event.day)
    facts["owner_since"] = event.day
    facts["first_owner_id"] = facts.get("owner_id")
    _owner_news(facts, event, "pulled")


def _corrected(facts: _Facts, event: Event) -> None:
    facts.update(_days(event.body))


def _chosen(facts: _Facts, event: Event) -> None:
    facts["expired_choice"] = event.body["choice"]


def _submitted(facts: _Facts, event: Event) -> None:
    facts.update(_days({key: value for key, value in event.body.items() if key != "quiet"}))
    facts.update(state="submitted", submitted_on=event.day, failed_on=None, failed_how=None)
    _owner_news(facts, event, "submitted")


def _submit_failed(facts: _Facts, event: Event) -> None:
    facts["failed_how"] = event.body["how"]
    facts["failed_on"] = None if event.body["how"] in FAILURES_TO_TRY_AGAIN else event.day


def _try_again(facts: _Facts, event: Event) -> None:
    facts.update(failed_on=None, failed_how=None)


def _ask_held(facts: _Facts, event: Event) -> None:
    facts["ask_held"] = True


def _ask_dropped(facts: _Facts, event: Event) -> None:
    facts["ask_held"] = False


def _asked(facts: _Facts, event: Event) -> None:
    facts.update(last_asked_on=event.day, ask_held=False, answer=None, answered_on=None, answer_days=None)


def _answered(facts: _Facts, event: Event) -> None:
    facts.update(answer=event.body["answer"], answered_on=event.day, answer_days=event.body.get("days"))
    if event.body.get("inbound_tracking"):
        facts["inbound_tracking"] = event.body["inbound_tracking"]
    if event.body.get("news"):
        _owner_news(facts, event, "noted")


def _offered(facts: _Facts, event: Event) -> None:
    facts.update(state="offered", offered_on=event.day, phase_told=(), offer_answer=None, offer_answered_on=None)
    # An offer is the maker's answer to the last ask, too.
    facts.update(answer="offers", answered_on=event.day, answer_days=None)
    facts["reply_by"] = _days(event.body).get("reply_by")
    _owner_news(facts, event, "offered")


def _offer_answered(facts: _Facts, event: Event) -> None:
    facts.update(offer_answer=event.body["answer"], offer_answered_on=event.day)


def _offer_passed_on(facts: _Facts, event: Event) -> None:
    facts.update(state="submitted", offered_on=None, reply_by=None, offer_answered_on=None)
    _owner_news(facts, event, "noted")


def _refused(facts: _Facts, event: Event) -> None:
    facts.update(state="refused", refused_on=event.day)
    _owner_news(facts, event, "refused")
    _close_if_both_debts_ended(facts, event)


def _in_hand(facts: _Facts, event: Event) -> None:
    body = event.body
    if body.get("serial") is not None:
        facts["serial"] = body["serial"]
    facts.update(phase_told=(), parcel_id=None, lost_on=None, lost_how=None)
    if body.get("again") and facts.get("in_hand_on") is None:
        # The claim card itself was on its way to the participant and came back: there is no card yet.
        facts.update(state="pulled", shipped_on=None, tracking="")
        return
    facts.update(state="in_hand", in_hand_on=event.day)
    _owner_news(facts, event, "in_hand")


def _packed(facts: _Facts, event: Event) -> None:
    facts["parcel_id"] = event.body.get("parcel")


def _shipped(facts: _Facts, event: Event) -> None:
    facts.update(state="shipped", shipped_on=event.day, phase_told=(), lost_on=None, lost_how=None)
    if event.body.get("tracking"):
        facts["tracking"] = event.body["tracking"]
    _owner_news(facts, event, "shipped")


def _lost(facts: _Facts, event: Event) -> None:
    facts.update(lost_on=event.day, lost_how=event.body["how"])
    _owner_news(facts, event, "noted")


def _closed(facts: _Facts, event: Event) -> None:
    body = event.body
    how = body["how"]
    if body.get("fault"):
        facts["fault"] = body["fault"]
    if how in ENDING_THE_HOUSES_DEBT and facts.get("in_hand_on") is None:
        _settle(facts, event)
        return
    _leave_parcel(facts)
    facts.update(
        state="closed",
        closed_on=event.day,
        closed_how=how,
        closed_amount=body.get("amount"),
        closed_currency=body.get("currency"),
    )
    if how in ENDING_ALL_NEWS or body.get("by_claim"):
        # Where another claim takes over, that one carries the news.
        facts["news"] = {}
    elif body.get("news"):
        _add_news(facts, how, event.day, facts.get("owner_id"))


def _settle(facts: _Facts, event: Event) -> None:
    how = event.body["how"]
    facts.update(
        settled_on=event.day,
        settled_how=how,
        settled_amount=event.body.get("amount"),
        settled_currency=event.body.get("currency"),
    )
    _add_news(facts, how, event.day, facts.get("owner_id"))
    _leave_parcel(facts)
    facts.update(owner_kind="house", owner_id=None, candidates=(), owner_since=event.day)
    _close_if_both_debts_ended(facts, event)


def _close_if_both_debts_ended(facts: _Facts, event: Event) -> None:
    # Where the house gave the card to somebody after it had settled, it owes that one.
    if facts.get("settled_how") and facts["state"] == "refused" and facts["owner_kind"] == "house":
        facts.update(
            state="closed",
            closed_on=event.day,
            closed_how=facts["settled_how"],
            closed_amount=facts["settled_amount"],
            closed_currency=facts["settled_currency"],
        )


def _leave_parcel(facts: _Facts) -> None:
    """A card that is not on its way yet comes out of the parcel in which it was packed."""
    if facts["state"] in ("pulled", "in_hand"):
        facts["parcel_id"] = None


def _owner(facts: _Facts, event: Event) -> None:
    body = event.body
    before = facts.get("owner_id")
    after = body.get("owner_id")
    facts.update(
        owner_kind=body["owner_kind"],
        owner_id=after,
        candidates=tuple(body.get("candidates", ())),
        owner_since=event.day,
    )
    if facts.get("first_owner_id") is None:
        facts["first_owner_id"] = after
    if before != after:
        _leave_parcel(facts)
        facts["phase_told"] = ()
        _add_news(facts, "owner", event.day, before)
        _add_news(facts, "owner", event.day, after)


def _told(facts: _Facts, event: Event) -> None:
    person_id = event.body.get("person")
    if person_id is None:
        facts["news"] = {}
    else:
        facts["news"].pop(person_id, None)
    facts["last_told_on"] = event.day
    if person_id is None or person_id == facts.get("owner_id"):
        facts["phase_told"] = (*facts.get("phase_told", ()), event.day)


def _noted(facts: _Facts, event: Event) -> None:
    if event.body.get("news"):
        _owner_news(facts, event, "noted")


def _seen(facts: _Facts, event: Event) -> None:
    facts["seen_on_camera"] = True
    if event.body.get("video_seconds") is not None:
        facts["video_seconds"] = event.body["video_seconds"]


def _follow_up(facts: _Facts, event: Event) -> None:
    facts["follow_up_on"] = date.fromisoformat(event.body["on"])


def _followed_up(facts: _Facts, event: Event) -> None:
    facts["follow_up_on"] = None


def _held(facts: _Facts, event: Event) -> None:
    facts["on_hold"] = True


def _released(facts: _Facts, event: Event) -> None:
    facts["on_hold"] = False


def _nothing(facts: _Facts, event: Event) -> None:
    """Events that are only read in the history: a code entered, a photo taken, a split."""


def _void(facts: _Facts, event: Event) -> None:
    _leave_parcel(facts)
    facts.update(state="void", news={})


_HANDLERS: Mapping[str, Callable[[_Facts, Event], None]] = {
    "pulled": _pulled,
    "corrected": _corrected,
    "chosen": _chosen,
    "submitted": _submitted,
    "submit_failed": _submit_failed,
    "try_again": _try_again,
    "ask_held": _ask_held,
    "ask_dropped": _ask_dropped,
    "asked": _asked,
    "answered": _answered,
    "looked": _nothing,
    "offered": _offered,
    "offer_answered": _offer_answered,
    "offer_passed_on": _offer_passed_on,
    "refused": _refused,
    "in_hand": _in_hand,
    "packed": _packed,
    "shipped": _shipped,
    "lost": _lost,
    "closed": _closed,
    "owner": _owner,
    "told": _told,
    "same_person": take_for,
    "noted": _noted,
    "seen": _seen,
    "follow_up": _follow_up,
    "followed_up": _followed_up,
    "held": _held,
    "released": _released,
    "code_entered": _nothing,
    "delay_notice": _nothing,
    "split": _nothing,
    "photo": _nothing,
    "evidence": _nothing,
    "sent_back": _nothing,
    "came_back": _nothing,
    "card_lost": _nothing,
    "card_found": _nothing,
    "consent": _nothing,
    "linked": _nothing,
    "void": _void,
}

EVENT_KINDS: Sequence[str] = tuple(_HANDLERS)
