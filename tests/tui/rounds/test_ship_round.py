"""The ship round at the keyboard."""

from __future__ import annotations

from breakdesk.desk.arriving import InHand, in_hand
from breakdesk.desk.parcel_details import Contents, send_to, set_contents
from breakdesk.desk.shipping import start_parcel
from breakdesk.desk.submitting import Submit, submit
from breakdesk.rules.tags import shown as tag_words
from breakdesk.store import models

STEPS_FOR_ONE_CARD = 10
GOOD_NUMBER = "RA123456785GB"
"""A serial number of a postal item (UPU S10) whose check digit fits."""


def here(stage, owner="Ada", **more):
    """A claim whose card is in hand."""
    tag = stage.pull(owner, **more)
    stage.done(submit, Submit(tag=tag, reference=f"REF-{tag}"))
    stage.done(in_hand, InHand(tag=tag))
    return tag


def parcel(stage):
    """The only parcel of the desk."""
    return stage.do(lambda _: models.Parcel.get())


class TestPacking:
    async def test_start_tick_each_step_and_ship(self, stage):
        tag = here(stage)
        async with stage.open() as player:
            await player.press("p")
            assert "confirmed Fri 20 Feb" in player.words
            assert "Enter starts the parcel with 1 card; e lets it wait for more." in player.words
            await player.press("enter")
            assert (
                f"Enter ticks “is the card of the claim” for {tag_words(tag)}; {STEPS_FOR_ONE_CARD} open."
                in player.words
            )
            await player.press(*["enter"] * STEPS_FOR_ONE_CARD)
            assert "All steps are done." in player.words
            await player.press("enter")
            await player.type(GOOD_NUMBER, "enter")
            assert "Nothing is left to be shipped." in player.words
        assert (stage.claim(tag).state, stage.claim(tag).tracking) == ("shipped", GOOD_NUMBER)
        assert (parcel(stage).state, parcel(stage).standard) == ("shipped", "UPU S10")
        steps = stage.do(lambda _: list(models.ParcelStep.select()))
        assert len(steps) == STEPS_FOR_ONE_CARD
        assert {(step.who, step.done_at) for step in steps} == {("T", stage.now)}

    async def test_cards_are_chosen(self, stage):
        first, second = sorted(here(stage, subject=f"Kit {letter}") for letter in "AB")
        async with stage.open() as player:
            await player.press("p", "space", "enter")
        assert stage.claim(first).parcel_id is None
        assert stage.claim(second).parcel_id == parcel(stage).id

    async def test_a_tick_is_taken_back_by_the_key_that_gave_it(self, stage):
        here(stage)
        async with stage.open() as player:
            await player.press("p", "enter", "space", "up", "space")
            assert f"; {STEPS_FOR_ONE_CARD} open." in player.words
        steps = models.ParcelStep
        assert stage.do(lambda _: steps.select().where(steps.done_at.is_null(False)).count()) == 0

    async def test_open_steps_need_a_reason(self, stage):
        tag = here(stage)
        async with stage.open() as player:
            await player.press("p", "enter", "t", "enter")
            assert "Why does it go with open steps?" in player.words
            assert "A few words are enough." in player.words
            await player.type("handed over in person", "enter")
            await player.type(GOOD_NUMBER, "enter")
        assert stage.claim(tag).state == "shipped"

    async def test_a_doubtful_number_is_asked_about_and_never_refused(self, stage):
        tag = here(stage)
        async with stage.open() as player:
            await player.press("p", "enter", *["enter"] * STEPS_FOR_ONE_CARD, "enter")
            await player.type("RA123456789GB", "enter")
            assert "its check digit does not fit" in player.words
            await player.press("enter")
            assert stage.claim(tag).state == "in_hand"
            assert "RA123456789GB" in player.words
            await player.press("enter", "down", "enter")
        assert stage.claim(tag).tracking == "RA123456789GB"

    async def test_the_reason_is_kept_while_the_number_is_typed_after_all(self, stage):
        tag = here(stage)
        async with stage.open() as player:
            await player.press("p", "enter", "t")
            await player.type("handed over in person", "enter", "enter", "enter")
            await player.type(GOOD_NUMBER, "enter")
        assert (stage.claim(tag).state, stage.claim(tag).tracking) == ("shipped", GOOD_NUMBER)

    async def test_without_a_number_after_a_question(self, stage):
        tag = here(stage)
        async with stage.open() as player:
            await player.press("p", "enter", *["enter"] * STEPS_FOR_ONE_CARD, "enter", "enter", "down", "enter")
        assert (stage.claim(tag).state, stage.claim(tag).tracking) == ("shipped", "")

    async def test_what_goes_along_is_seen_while_packing_and_hidden_on_air(self, stage):
        tag = stage.pull()
        stage.done(submit, Submit(tag=tag))
        stage.done(in_hand, InHand(tag=tag))
        stage.done(start_parcel, [tag])
        stage.done(set_contents, 1, Contents(lines=("3 other hits",), gift_note="Happy birthday"))
        stage.done(send_to, 1, "Uncle Bob", "9 Hill Way", "US")
        for on_air in (False, True):
            async with stage.open(on_air=on_air) as player:
                await player.press("p")
                shown = [words in player.words for words in ("Uncle Bob", "Happy birthday", "3 other hits")]
                assert shown == [not on_air] * 3

    async def test_a_claim_card_to_be_given_goes_the_same_way(self, stage):
        tag = stage.pull(plan="give")
        async with stage.open() as player:
            await player.press("p")
            assert "the claim card" in player.words
            await player.press("enter", *["enter"] * (STEPS_FOR_ONE_CARD + 1), "enter")
            await player.type(GOOD_NUMBER, "enter")
            await player.press("escape", "f6", "d")
        assert (stage.claim(tag).state, stage.claim(tag).closed_how) == ("closed", "given")

    async def test_undo_of_the_parcel(self, stage):
        tag = here(stage)
        async with stage.open() as player:
            await player.press("p", "enter", "u", "enter")
            assert "Enter starts the parcel" in player.words
        assert stage.claim(tag).parcel_id is None


class TestAddress:
    async def test_it_is_confirmed_as_it_stands(self, stage):
        here(stage)
        stage.later(days=120)
        async with stage.open() as player:
            await player.press("p")
            assert "to be confirmed first" in player.words
            await player.press("a", "enter")
            assert "confirmed Tue 30 Jun" in player.words

    async def test_they_moved_and_gave_another_one(self, stage):
        here(stage)
        async with stage.open() as player:
            await player.press("p", "m", "down", "enter")
            assert "to be confirmed first" in player.words
            await player.press("a", "down", "enter")
            await player.type("9 Long Lane, Hilltop", "enter")
            await player.press("ctrl+u")
            await player.type("DE", "enter")
            assert "9 Long Lane, Hilltop, DE" in player.words
        rows = stage.do(
            lambda _: list(models.Address.select().where(models.Address.participant == stage.people["Ada"]))
        )
        kept = [(row.text, row.ended_at is None) for row in rows]
        assert kept == [("1 Quay\nHarbour", False), ("9 Long Lane\nHilltop", True)]

    async def test_nothing_goes_to_an_unconfirmed_address(self, stage):
        tag = here(stage)
        stage.later(days=120)
        async with stage.open() as player:
            await player.press("p", "enter", "down", "enter", "t")
            assert "The address is not confirmed" in player.status
        assert stage.claim(tag).state == "in_hand"

    async def test_a_move_names_what_the_maker_sends_to_the_old_address(self, stage):
        direct = stage.pull(subject="Una Dale")
        stage.done(submit, Submit(tag=direct, ship_to="participant"))
        here(stage)
        async with stage.open() as player:
            await player.press("p", "m", "down", "enter")
            assert "Write to the maker" in player.words
            assert f"{tag_words(direct)} Una Dale" in player.words
            await player.press("escape", "a")
            await player.press("down", "enter")
            await player.type("7 New Street, Town", "enter", "enter")
            await player.press("a", "down", "down", "enter")
            assert "now: 7 New Street, Town" in player.words
            assert "before: 1 Quay, Harbour" in player.words
            assert "moved away Mon 2 Mar" in player.words

    async def test_on_air_it_is_hidden(self, stage):
        here(stage)
        async with stage.open(on_air=True) as player:
            await player.press("p", "a")
            assert "Quay" not in player.seen
            assert "Ada Fenn" not in player.seen


class TestOnAir:
    async def test_on_air_a_doubt_about_the_tracking_number_does_not_say_it(self, stage):
        tag = here(stage)
        async with stage.open(on_air=True, size=(140, 40)) as player:
            await player.press("p", "enter", *["enter"] * STEPS_FOR_ONE_CARD, "enter")
            await player.type("trk 99", "enter", "down", "enter")
            assert "follows no published rule" in player.status
            assert "TRK" not in player.seen
        assert stage.claim(tag).state == "shipped"
