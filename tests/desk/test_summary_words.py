"""How the summary of the day writes the moments that it names."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest

from breakdesk.desk import following
from breakdesk.desk.asking import ask
from breakdesk.desk.submitting import Submit, submit
from breakdesk.desk.summary import limit_words, summary


@pytest.mark.parametrize(
    ("end", "zone", "words"),
    [
        (datetime(2026, 3, 10, 6, 0, tzinfo=UTC), "America/Denver", "the end of Mon 9 Mar"),
        (datetime(2026, 3, 8, 7, 0, tzinfo=UTC), "America/Denver", "the end of Sat 7 Mar"),
        (datetime(2026, 3, 10, 15, 0, tzinfo=UTC), "America/Denver", "Tue 10 Mar 09:00"),
        (datetime(2026, 4, 23, 22, 0, tzinfo=UTC), "Africa/Cairo", "the end of Thu 23 Apr"),
    ],
)
def test_a_limit_at_midnight_is_the_end_of_the_day_before(end: datetime, zone: str, words: str) -> None:
    assert limit_words(end, zone) == words


def ask_words(world: Any) -> str:
    return next(item.burning for item in summary(world.desk).rounds if item.name == "ask")


def test_each_maker_with_how_many_and_when_its_office_opens_in_the_houses_time(world: Any) -> None:
    for maker in ("Tern Cards", "Rising Press", "Rising Press", "Setting Press"):
        tag = world.pull("Ada", maker=maker)
        world.done(submit(world.desk, Submit(tag=tag, reference=f"R {tag}")))
    world.later(days=1)
    # 11:00 on Tuesday in Chicago, 02:00 on Wednesday in Tokyo, 07:00 on Tuesday in Honolulu.
    assert ask_words(world) == (
        "Tern Cards 1 (open now), Setting Press 1 (opens today 13:00), Rising Press 2 (opens today 18:00), "
        "in your time."
    )
    world.later(days=4, hours=7)
    # Saturday evening; the clocks go forward in Chicago that night.
    assert ask_words(world) == (
        "Rising Press 2 (opens Sun 19:00), Tern Cards 1 (opens Mon 09:00), Setting Press 1 (opens Mon 14:00), "
        "in your time."
    )


def test_a_message_that_is_held_is_offered_once_the_office_is_open(world: Any) -> None:
    tag = world.pull("Ada", maker="Rising Press")
    world.done(submit(world.desk, Submit(tag=tag, reference="R 1")))
    world.later(days=1)
    world.done(ask(world.desk, [tag]))
    assert ask_words(world) == "Messages to 1 maker are held, the first until today 18:00."
    world.later(hours=8)
    assert ask_words(world) == "A held message can go now: Rising Press."


def test_a_claim_card_to_give_is_counted_down_where_its_maker_is(world: Any) -> None:
    tag = world.pull("Ada", maker="Rising Press", plan="give", expires_on=date(2026, 3, 20))

    def ship_words() -> str:
        return next(item.burning for item in summary(world.desk).rounds if item.name == "ship")

    assert ship_words() == "1 with an address to be confirmed first."
    world.later(days=4)
    # 11:00 on Friday 6 March in Chicago is 02:00 on Saturday the 7th in Tokyo.
    assert ship_words() == "1 with an address to be confirmed first, 1 claim card to give expires soon: 13 days left."
    world.later(days=13)
    assert ship_words().endswith("its last day.")
    world.later(days=1)
    assert ship_words().endswith("expired 1 day ago.")
    world.done(following.hold(world.desk, tag, "waits"))
    assert ship_words() == ""
