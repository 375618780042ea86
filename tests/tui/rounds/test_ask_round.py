"""The ask round and the look at the keyboard."""

from __future__ import annotations

from datetime import date

import pytest

from breakdesk.desk.submitting import Submit, submit
from breakdesk.store import models


def submitted(stage, owner="Ada", **more):
    """A claim that its maker may be asked about from tomorrow on."""
    tag = stage.pull(owner, **more)
    stage.done(submit, Submit(tag=tag, reference=f"REF-{tag}"))
    return tag


class TestAsking:
    async def test_copy_then_sent_while_the_office_is_open(self, stage):
        tag = submitted(stage)
        stage.later(days=1)
        async with stage.open() as player:
            await player.press("a")
            assert "open now" in player.words
            await player.press("enter")
            assert f"REF-{tag}" in player.copied
            await player.press("enter")
            assert "Tern Cards was asked about 1 claim." in player.status
            assert "No maker is left to be asked." in player.words
        assert stage.claim(tag).last_asked_on == date(2026, 3, 3)

    async def test_held_while_closed_and_offered_at_opening(self, stage):
        tag = submitted(stage, maker="Rising Press")
        stage.later(days=1)
        async with stage.open() as player:
            await player.press("a")
            assert "closed; opens Tue 3 Mar 18:00 your time" in player.words
            await player.press("y", "s")
            assert "held until it opens" in player.status
            assert "No maker is left" in player.words
        assert stage.claim(tag).last_asked_on is None
        stage.later(hours=8)
        async with stage.open() as player:
            await player.press("a")
            assert "▸ held: Rising Press" in player.seen
            await player.press("enter")
            assert "was asked about 1 claim" in player.status
        assert stage.claim(tag).last_asked_on == date(2026, 3, 4)

    async def test_a_held_message_is_dropped_after_a_question(self, stage):
        tag = submitted(stage, maker="Rising Press")
        stage.later(days=1)
        async with stage.open() as player:
            await player.press("a", "s", "n", "x", "enter")
            assert stage.claim(tag).ask_held
            await player.press("x", "down", "enter")
            assert not stage.claim(tag).ask_held

    async def test_rationed_into_messages(self, stage):
        for number in range(13):
            submitted(stage, subject=f"Kit {number}")
        stage.later(days=1)
        async with stage.open() as player:
            await player.press("a")
            assert "10 claims (3 more in the next message)" in player.words
            await player.press("s")
            assert "3 claims" in player.words
            await player.press("s")
            assert "No maker is left" in player.words
        assert stage.do(lambda _: models.Ask.select().count()) == 2

    async def test_references_are_hidden_on_air(self, stage):
        tag = submitted(stage)
        stage.later(days=1)
        async with stage.open(on_air=True) as player:
            await player.press("a", "w")
            assert f"REF-{tag}" not in player.seen
            await player.press("escape", "escape", "l")
            assert f"REF-{tag}" not in player.seen


class TestAnswers:
    async def test_one_word_for_all_of_the_claims(self, stage):
        tags = [submitted(stage, subject=f"Kit {letter}") for letter in "AB"]
        stage.later(days=1)
        async with stage.open() as player:
            await player.press("a", "s", "b", "w", "a", "enter", "down", "enter")
            await player.press("ctrl+u")
            await player.type("45", "enter")
            await player.type("they wait for him", "enter")
            assert "2 claims: waits for the signer." in player.status
        for tag in tags:
            assert (stage.claim(tag).answer, stage.claim(tag).answer_days) == ("waits_signer", 45)

    async def test_on_its_way_with_its_number(self, stage):
        tag = submitted(stage)
        stage.later(days=1)
        async with stage.open() as player:
            await player.press("a", "w", "enter", *["down"] * 3, "enter")
            await player.type("RB123456785GB", "enter", "enter", "enter")
        claim = stage.claim(tag)
        assert (claim.answer, claim.inbound_tracking, claim.answer_days) == ("on_its_way", "RB123456785GB", 21)
        assert claim.news[0].word == "noted"

    async def test_an_offer_with_its_reply_by(self, stage):
        tag = submitted(stage)
        stage.later(days=1)
        async with stage.open() as player:
            await player.press("a", "w", "enter", *["down"] * 4, "enter")
            await player.type("Una Dale Gold /10", "enter")
            await player.type("much", "enter")
            assert "is not an amount of money" in player.words
            await player.press("ctrl+u", "enter")
            await player.type("14", "enter")
        claim = stage.claim(tag)
        assert (claim.state, claim.reply_by) == ("offered", date(2026, 3, 17))

    async def test_some_of_them_refused(self, stage):
        first, second = sorted(submitted(stage, subject=f"Kit {letter}") for letter in "AB")
        stage.later(days=1)
        async with stage.open() as player:
            await player.press("a", "w", "space", "enter", *["down"] * 5, "enter")
            await player.type("gone", "enter")
        assert [stage.claim(tag).state for tag in (first, second)] == ["refused", "submitted"]


class TestLooking:
    async def test_rest_unchanged_and_only_the_one_that_moved(self, stage):
        first, second = sorted(submitted(stage, subject=f"Kit {letter}") for letter in "AB")
        async with stage.open() as player:
            await player.press("l")
            assert "2, by reference" in player.words
            await player.press("enter", "down", "down", "enter", "enter", "enter")
            assert "1 moved" in player.words
            await player.press("r")
            assert "All makers were looked at." in player.words
        look = stage.do(lambda _: models.Look.get())
        assert (look.claims, look.moved) == (2, 1)
        assert {stage.claim(tag).answer for tag in (first, second)} == {"being_made", None}
        assert all(stage.claim(tag).last_asked_on is None for tag in (first, second))

    async def test_what_came_in_stays_in_sight(self, stage):
        tag = submitted(stage)
        async with stage.open() as player:
            await player.press("l", "enter", *["down"] * 6, "enter")
            assert f"✔ REF-{tag}" in player.words
        assert stage.claim(tag).state == "in_hand"

    @pytest.mark.parametrize(("presses", "order"), [(0, "reference"), (1, "day sent in"), (2, "name")])
    async def test_the_order_can_be_set(self, stage, presses, order):
        submitted(stage)
        async with stage.open() as player:
            await player.press("l", *["s"] * presses)
            assert f"by {order}" in player.words

    async def test_each_maker_in_turn(self, stage):
        submitted(stage)
        submitted(stage, maker="Rising Press")
        async with stage.open() as player:
            await player.press("l", "r")
            assert "1 left" in player.seen
            await player.press("r")
        assert stage.do(lambda _: models.Look.select().count()) == 2


async def test_no_reply_is_decided_by_what_the_maker_said(stage):
    tag = submitted(stage)
    stage.later(days=1)
    async with stage.open() as player:
        await player.press("a", "s")
    stage.later(days=10)
    async with stage.open() as player:
        await player.press("d")
        assert "The maker was asked and has not replied." in player.words
        await player.press("enter", "enter", "enter", "enter", "enter")
        assert "Nothing is left to be decided" in player.words
    assert stage.claim(tag).answer == "no_news"
