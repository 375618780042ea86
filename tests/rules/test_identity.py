"""Two records taken for one person, and for two again, in the fold of a claim's history."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.identity import places_of
from breakdesk.rules.story import fold

ONE, OTHER, THIRD = 1, 2, 3
START = date(2026, 1, 5)


def on(day: int, kind: str, **body: Any) -> Event:
    return Event(kind, START + timedelta(days=day), body)


def pulled(**body: Any) -> Event:
    return on(0, "pulled", tag="7K3M", owner_kind=body.pop("owner_kind", "person"), **body)


def claim_of(*events: Event) -> Claim:
    claim = fold(1, events)
    assert claim is not None
    return claim


def taken(claim: Claim, before: int, after: int, day: int) -> Event:
    return on(day, "same_person", **{"from": before, "to": after, "places": places_of(claim, before, after)})


def test_owner_first_owner_and_news_move_without_news() -> None:
    history = [pulled(owner_id=ONE), on(1, "submitted", reference="R")]
    before = claim_of(*history)
    after = claim_of(*history, taken(before, ONE, OTHER, 2))
    assert (after.owner_id, after.first_owner_id, after.owner_since) == (OTHER, OTHER, before.owner_since)
    (news,) = after.news
    assert (news.person_id, news.word, news.routine_days) == (OTHER, "submitted", before.news[0].routine_days)


def test_news_of_both_is_that_of_one() -> None:
    history = [pulled(owner_id=ONE), on(1, "owner", owner_kind="person", owner_id=OTHER), on(2, "in_hand")]
    before = claim_of(*history)
    after = claim_of(*history, taken(before, ONE, OTHER, 3))
    (news,) = after.news
    days = sorted(day for item in before.news for day in item.routine_days)
    assert (news.word, news.urgent_days, sorted(news.routine_days)) == ("in_hand", (START + timedelta(days=2),), days)


def test_of_two_candidates_one_is_left() -> None:
    history = [pulled(owner_kind="several", candidates=[ONE, OTHER])]
    assert (claim_of(*history, taken(claim_of(*history), ONE, OTHER, 1)).owner_id) == OTHER
    history = [pulled(owner_kind="several", candidates=[ONE, OTHER, THIRD])]
    after = claim_of(*history, taken(claim_of(*history), ONE, OTHER, 1))
    assert (after.owner_kind, after.candidates) == ("several", (OTHER, THIRD))


_OWNERS = st.sampled_from(["one", "other", "third", "one+third"])


@given(_OWNERS, st.lists(st.sampled_from(["submitted", "in_hand", "told", "owner", "noted"]), max_size=5))
@settings(max_examples=200, deadline=None)
def test_there_and_back_is_as_it_was_where_only_one_of_them_was_named(owner: str, kinds: list[str]) -> None:
    ids = [{"one": ONE, "other": OTHER, "third": THIRD}[part] for part in owner.split("+")]
    first = {"owner_kind": "several", "candidates": ids} if len(ids) > 1 else {"owner_id": ids[0]}
    bodies: dict[str, dict[str, Any]] = {
        "told": {"person": ONE}, "owner": {"owner_kind": "person", "owner_id": ONE}, "noted": {"news": 1},
    }  # fmt: skip
    history = [pulled(**first), *(on(day, kind, **bodies.get(kind, {})) for day, kind in enumerate(kinds, 1))]
    before = claim_of(*history)
    if places_of(before, OTHER, ONE):
        return
    there = taken(before, ONE, OTHER, 9)
    merged = claim_of(*history, there)
    assert places_of(merged, ONE, OTHER) == []
    back = Event("same_person", there.day, {"from": OTHER, "to": ONE, "places": there.body["places"]})
    assert claim_of(*history, there, back) == claim_of(*history, Event("packed", there.day, {}))
