"""Two records found to be one person, and found to be two again: claims change record, but nobody gets or loses a card.

Unlike a change of owner it is no news, and reminders and tellings go on where they were.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from breakdesk.rules.claim import Claim, Event, News

OWNER, FIRST_OWNER, CANDIDATE, SHARED, NEWS = "owner", "first_owner", "candidate", "shared", "news"
"""Where a claim names a record. `shared`: both records were among the candidates, so one of them falls away."""


def places_of(claim: Claim, person_id: int, other_id: int) -> list[str]:
    """Where a claim names a record that is to be taken for another one."""
    places = []
    if claim.owner_id == person_id:
        places.append(OWNER)
    if claim.first_owner_id == person_id:
        places.append(FIRST_OWNER)
    if person_id in claim.candidates:
        places.append(SHARED if other_id in claim.candidates else CANDIDATE)
    if any(news.person_id == person_id for news in claim.news):
        places.append(NEWS)
    return places


def take_for(facts: dict[str, Any], event: Event) -> None:
    """From this event on, the places that it lists name the record `to` instead of `from`."""
    before, after, places = event.body["from"], event.body["to"], event.body["places"]
    if OWNER in places:
        facts["owner_id"] = after
    if FIRST_OWNER in places:
        facts["first_owner_id"] = after
    candidates = facts.get("candidates", ())
    if CANDIDATE in places:
        facts["candidates"] = tuple(after if key == before else key for key in candidates)
    if SHARED in places:
        facts["candidates"] = tuple(key for key in candidates if key != before)
        if len(facts["candidates"]) == 1 and facts.get("owner_kind") == "several":
            facts.update(owner_kind="person", owner_id=after, candidates=())
    if NEWS in places and before in facts["news"]:
        moved = replace(facts["news"].pop(before), person_id=after)
        facts["news"][after] = _together(moved, facts["news"].get(after))


def _together(one: News, other: News | None) -> News:
    """The news of two records as that of one: the newest word, and every day that is untold."""
    if other is None:
        return one
    newest = one if one.since >= other.since else other
    return replace(
        newest,
        urgent_days=tuple(sorted(one.urgent_days + other.urgent_days)),
        routine_days=tuple(sorted(one.routine_days + other.routine_days)),
    )
