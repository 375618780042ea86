"""Notices of delay, where the house switched them on."""

from __future__ import annotations

import pytest

from breakdesk.desk.notices import people_to_notify
from breakdesk.desk.problems import Done
from breakdesk.desk.terms import Settle, settle


@pytest.fixture
def switched_on(sample):
    done = sample.do(settle, Settle(name="delay_notice", value="on", since_always=True))
    assert isinstance(done, Done)
    return sample


async def test_switched_off_it_says_so_with_the_caution(sample):
    async with sample.open() as player:
        assert "notices of delay" not in player.words
        await player.press("n")
        assert "not legal advice" in player.words
        assert "No notice of delay is due." in player.words
        assert "switched off" in player.status


async def test_today_names_them_and_the_list_shows_each(switched_on):
    people = switched_on.do(people_to_notify)
    assert people
    async with switched_on.open(on_air=False, size=(120, 40)) as player:
        assert f"{sum(len(person.notices) for person in people)} notices of delay to be given" in player.words
        await player.press("n")
        assert people[0].name in player.seen
        await player.press("y")
        assert player.app.clipboard == people[0].message.text
        await player.press("enter")
        assert "The notice" in player.seen


async def test_on_air_nobody_is_named_and_nothing_copied(switched_on):
    people = switched_on.do(people_to_notify)
    async with switched_on.open(size=(120, 40)) as player:
        await player.press("n")
        assert all(person.name not in player.seen for person in people)
        await player.press("y")
        assert "Not copied" in player.status


async def test_given_is_asked_recorded_and_undone_by_name(switched_on):
    before = switched_on.do(people_to_notify)
    async with switched_on.open(size=(120, 40)) as player:
        await player.press("n", "g", "enter")
        assert switched_on.do(people_to_notify) == before
        await player.press("g", "down", "enter")
        assert "The notice of delay is given" in player.status
        after = switched_on.do(people_to_notify)
        assert [person.person_id for person in after] == [person.person_id for person in before[1:]]
        await player.press("u", "enter")
    assert len(switched_on.do(people_to_notify)) == len(before)
