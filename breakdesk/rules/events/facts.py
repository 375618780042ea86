"""The facts of a claim while its history is folded, and what several kinds of event do to them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from breakdesk.rules.claim import URGENT_NEWS, Event, News

Facts = dict[str, Any]
"""A claim's fields by name; its news by the participant whom it concerns."""

_DAYS = frozenset({"expires_on", "reply_by", "pull_day", "follow_up_on", "submitted_on"})


def with_days(body: Mapping[str, Any]) -> Facts:
    """What an event says, its ISO days read."""
    return {
        key: date.fromisoformat(value) if key in _DAYS and value is not None else value for key, value in body.items()
    }


def add_news(facts: Facts, word: str, day: date, person_id: int | None) -> None:
    """Leave a participant something to be told; older untold news is folded into it."""
    if person_id is None:
        return
    urgent = word in URGENT_NEWS
    older: News | None = facts["news"].get(person_id)
    urgent_days = older.urgent_days if older else ()
    routine_days = older.routine_days if older else ()
    if urgent:
        urgent_days = tuple(dict.fromkeys((*urgent_days, day)))
    else:
        routine_days = tuple(dict.fromkeys((*routine_days, day)))
    facts["news"][person_id] = News(word, day, person_id, urgent, urgent_days, routine_days)


def owner_news(facts: Facts, event: Event, word: str) -> None:
    """News for the present owner, unless the event says that there is none to tell."""
    if not event.body.get("quiet"):
        add_news(facts, word, event.day, facts.get("owner_id"))


def leave_parcel(facts: Facts) -> None:
    """A card that is not on its way yet comes out of the parcel in which it was packed."""
    if facts["state"] in ("pulled", "in_hand"):
        facts["parcel_id"] = None
