"""The figures of today are counted from columns; the full lists must come to the same."""

from __future__ import annotations

import random
from collections.abc import Iterable
from dataclasses import fields
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk import following, viewing
from breakdesk.desk.clock import Clock
from breakdesk.desk.counting import figures, figures_of
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.promises import promises_due
from breakdesk.desk.sample import add_stories, fill
from breakdesk.rules.claim import Claim, News
from breakdesk.rules.rounds.items import Parked, Today
from breakdesk.rules.rounds.today import today_lists
from breakdesk.store import maker_marks, models, projecting
from breakdesk.store.claims import read_claims
from breakdesk.store.parties import read_parties
from breakdesk.store.past import parked_as_of
from tests.desk.briefs import parted

DAYS = tuple(date(2026, 3, 2) - timedelta(days=days) for days in range(0, 200, 3))
ROUNDS = ("submit", "ask", "tell", "ship", "decide")


def agree(desk: Desk) -> None:
    """The counted figures are those of the lists, one by one; the lists are those of all claims, read whole."""
    view = viewing.today(desk)
    counted, listed = figures(desk), figures_of(view)
    if desk.clock.as_of() == desk.clock.now():
        assert view.today == by_the_rules_alone(desk)
    for part in fields(counted):
        assert getattr(counted, part.name) == getattr(listed, part.name), part.name


def by_the_rules_alone(desk: Desk) -> Today:
    """The five lists of the present from every claim there is, no column of due days looked at."""
    parties, now = read_parties(desk.database), desk.clock.now()
    day = parties.house.today(now)
    whole, waiting = parted(read_claims(desk.database))
    parked = Parked(parked_as_of(desk.database, day))
    return today_lists(whole, parties, now, parked, promises_due(day), waiting, maker_marks.reviews(desk.database, day))


def test_the_sample_is_counted_as_it_is_listed(tmp_path: Path) -> None:
    now = datetime(2026, 6, 15, 16, tzinfo=UTC)
    instants = [now]
    desk = open_desk(tmp_path / "desk.db", Clock(lambda: instants[-1]), create=True)
    fill(desk)
    assert add_stories(desk) == []
    for days in (0, 1, 3, 10, 40, 200):
        for hours in (0, 5, 9, 17):
            instants.append(now + timedelta(days=days, hours=hours))
            agree(desk)
    assert figures(desk).decide["follow_up"] > 0
    desk.close()


def test_a_day_in_the_past_is_counted_as_it_is_listed(tmp_path: Path) -> None:
    now = datetime(2026, 6, 15, 16, tzinfo=UTC)
    desk = open_desk(tmp_path / "desk.db", Clock(lambda: now), create=True)
    fill(desk)
    agree(desk.at(Clock(lambda: now, now - timedelta(days=30))))
    desk.close()


@pytest.mark.parametrize("seed", range(25))
def test_any_desk_is_counted_as_it_is_listed(new_world: Any, seed: int) -> None:
    world = new_world()
    chance = random.Random(seed)
    database = world.desk.database
    people, makers = sorted(world.people.values()), [None, *sorted(world.makers.values())]
    with database.atomic():
        claims = [random_claim(chance, key, people, makers) for key in range(1, 120)]
        if chance.random() < 0.4:
            models.Participant.update(on_hold=True).where(models.Participant.id == chance.choice(people)).execute()
        projecting.insert_claims(database, claims, read_parties(database))
        projecting.refresh_people(database, people)
        _park_some(chance, world.now.date(), claims, people)
    for hours in (0, 6, 14, 24, 24 * 5):
        world.later(hours=hours)
        agree(world.desk)


def test_claims_and_people_on_hold_are_counted_once(world: Any) -> None:
    first, second = world.pull("Ada"), world.pull("Ada")
    world.pull("Bo")
    world.done(following.hold(world.desk, first, "waits for a letter"))
    assert figures(world.desk).on_hold == 1
    world.done(following.hold_person(world.desk, "Ada Fenn", on=True, reason="asked us to wait"))
    assert figures(world.desk).on_hold == 2
    agree(world.desk)
    world.done(following.release(world.desk, first))
    assert figures(world.desk).on_hold == 2
    assert [item.claim.tag for item in figures(world.desk).submit] != [second]


def _park_some(chance: random.Random, day: date, claims: Iterable[Claim], people: Iterable[int]) -> None:
    keys, people = [claim.id for claim in claims], list(people)
    for _ in range(chance.randrange(12)):
        name = chance.choice(ROUNDS)
        models.Park.create(
            round=name,
            item_id=chance.choice(people if name in ("tell", "ship") else keys),
            until=day + timedelta(days=chance.randint(-1, 4)),
            action_key=1,
            undone=chance.random() < 0.2,
        )


def random_claim(chance: random.Random, key: int, people: list[int], makers: list[int | None]) -> Claim:
    """A claim in any state, with the days that go with it and whatever else may hang on it."""

    def day_after(first: date) -> date:
        return first + timedelta(days=chance.randint(0, max((DAYS[0] - first).days, 0)))

    kind = chance.choice(("person", "person", "person", "house", "nobody", "several"))
    state = chance.choice(("pulled", "submitted", "submitted", "offered", "in_hand", "shipped", "refused", "closed"))
    pulled = chance.choice(DAYS)
    submitted_on = None if state == "pulled" else day_after(pulled)
    told: dict[str, Any] = {"state": state, "owner_kind": kind, "submitted_on": submitted_on}
    since = told["submitted_on"] or pulled
    if state == "submitted" and chance.random() < 0.6:
        told["last_asked_on"] = day_after(since)
        told["answer"] = chance.choice((None, None, "no_news"))
        told["answer_days"] = 30 if told["answer"] else None
    if state == "offered":
        told["offered_on"] = day_after(since)
        told["offer_answered_on"] = chance.choice((None, told["offered_on"]))
    if state in ("in_hand", "shipped"):
        told["in_hand_on"] = day_after(since)
    if state == "shipped":
        told["shipped_on"] = day_after(told["in_hand_on"])
        told["lost_on"] = chance.choice((None, None, day_after(told["shipped_on"])))
    if state == "refused":
        told["refused_on"] = day_after(since)
    if state == "closed":
        told |= {"closed_on": day_after(since), "closed_how": "delivered"}
    if state == "pulled" and chance.random() < 0.3:
        told["failed_on"] = day_after(pulled)
    owner = chance.choice(people) if kind == "person" else None
    news = (News("pulled", pulled, owner, False, (), (pulled,)),) if owner and chance.random() < 0.3 else ()
    return Claim(
        id=key,
        tag=f"{key:04d}",
        plan=chance.choice(("submit", "submit", "give")) if state == "pulled" else "submit",
        owner_id=owner,
        first_owner_id=owner,
        owner_since=pulled,
        maker_id=chance.choice(makers),
        pull_day=pulled,
        expires_on=chance.choice((None, day_after(pulled), pulled - timedelta(days=2))),
        seen_on_camera=chance.random() < 0.1,
        ask_held=chance.random() < 0.1,
        on_hold=chance.random() < 0.1,
        follow_up_on=chance.choice((None, None, None, DAYS[0] + timedelta(days=chance.randint(-3, 3)))),
        last_event_on=pulled,
        news=news,
        **told,
    )
