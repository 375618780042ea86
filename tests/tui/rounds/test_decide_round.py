"""The decide round at the keyboard: every reason, every choice."""

from __future__ import annotations

from datetime import date

import pytest

from breakdesk.desk.arriving import InHand, in_hand
from breakdesk.desk.asking import Answer, answer
from breakdesk.desk.codes import read_code
from breakdesk.desk.following import follow_up
from breakdesk.desk.makers import MarkMaker, mark_maker
from breakdesk.desk.people import promise
from breakdesk.desk.settling import refuse_claim
from breakdesk.desk.shipping import Ship, parcel_failed, ship, start_parcel
from breakdesk.desk.submitting import Submit, submission_failed, submit
from breakdesk.desk.terms import Settle, settle
from breakdesk.store import models


def submitted(stage, owner="Ada", **more):
    tag = stage.pull(owner, **more)
    stage.done(submit, Submit(tag=tag, reference=f"REF-{tag}"))
    return tag


def why(stage):
    """Why anything waits."""
    return [item.why for item in stage.today().decide]


async def decide(player, choice, *keys):
    """Opens the round, chooses by number, then presses more keys."""
    await player.press("d", "enter", *["down"] * choice, "enter", *keys)


class TestRefused:
    @pytest.mark.parametrize(("choice", "how"), [(0, "refunded"), (1, "credited"), (3, "bought_out")])
    async def test_money_asks_how_much_and_whose_fault(self, stage, choice, how):
        tag = submitted(stage)
        stage.done(refuse_claim, tag)
        async with stage.open() as player:
            await decide(player, choice)
            await player.type("lots", "enter")
            assert "is not an amount" in player.words
            await player.press("ctrl+u")
            await player.type("40.00", "enter", "enter")
            await player.type("agreed by message", "enter")
            assert "Nothing is left to be decided" in player.words
        claim = stage.claim(tag)
        assert (claim.state, claim.closed_how, claim.closed_amount, claim.fault) == ("closed", how, 4000, "maker")

    async def test_a_yes_that_the_house_needs_is_asked_for_first(self, stage):
        tag = submitted(stage)
        stage.done(refuse_claim, tag)
        stage.done(settle, Settle(name="consent_needed", value="on"))
        async with stage.open() as player:
            await decide(player, 0)
            assert "Your house needs their yes" in player.words
            await player.type("by message", "enter")
            await player.type("40.00", "enter", "enter")
            await player.type("agreed", "enter")
            assert "Nothing is left to be decided" in player.words
        assert stage.claim(tag).closed_how == "refunded"

    @pytest.mark.parametrize(("choice", "how"), [(2, "replaced"), (4, "terms")])
    async def test_without_money(self, stage, choice, how):
        tag = submitted(stage)
        stage.done(refuse_claim, tag)
        async with stage.open() as player:
            await decide(player, choice, "down", "enter")
            await player.type("agreed", "enter")
        claim = stage.claim(tag)
        assert (claim.closed_how, claim.fault) == (how, "house")

    async def test_late_after_seven_days(self, stage):
        stage.done(refuse_claim, submitted(stage))
        stage.later(days=7)
        async with stage.open() as player:
            await player.press("d")
            assert "later than the house allows itself" not in player.words
        stage.later(days=1)
        async with stage.open() as player:
            await player.press("d")
            assert "later than the house allows itself" in player.words

    async def test_the_houses_own(self, stage):
        tag = submitted(stage, "house")
        stage.done(refuse_claim, tag)
        async with stage.open() as player:
            await decide(player, 0)
            await player.type("bad luck", "enter")
        assert stage.claim(tag).closed_how == "kept"

    async def test_escape_at_any_question_changes_nothing(self, stage):
        tag = submitted(stage)
        stage.done(refuse_claim, tag)
        async with stage.open() as player:
            await decide(player, 0, "escape")
            await player.press("enter", "enter")
            await player.type("40", "enter", "escape")
            await player.press("enter", "enter")
            await player.type("40", "enter", "enter", "escape")
            assert "1 left" in player.seen
        assert stage.claim(tag).state == "refused"


class TestExpiredWhenPulled:
    def expired(self, stage, policy=None):
        if policy:
            stage.do(
                lambda _: models.Term.create(maker_id=1, name="expired_policy", value=policy, recorded_at=stage.now)
            )
        return stage.pull(expires_on=date(2026, 2, 20))

    @pytest.mark.parametrize(
        ("policy", "first"),
        [("accepts", "Try to submit it"), ("ask_first", "Ask the maker first"), ("refuses", "Close it"), (None, "Ask")],
    )
    async def test_the_policy_proposes(self, stage, policy, first):
        self.expired(stage, policy)
        async with stage.open() as player:
            await player.press("d")
            assert f"Enter decides: · {first}" in player.words

    async def test_tried_it_goes_to_the_submit_round(self, stage):
        tag = self.expired(stage, "accepts")
        async with stage.open() as player:
            await decide(player, 0)
            assert "Nothing is left to be decided" in player.words
        assert [item.claim.tag for item in stage.today().submit] == [tag]

    async def test_asked_first_it_stays(self, stage):
        self.expired(stage)
        async with stage.open() as player:
            await decide(player, 0)
        assert why(stage) == ["expired_at_pull"]

    async def test_void_needs_a_reason(self, stage):
        tag = self.expired(stage)
        async with stage.open() as player:
            await decide(player, 4, "enter")
            assert stage.claim(tag).state == "pulled"
            await player.type("typed twice", "enter")
        assert stage.claim(tag).state == "void"


class TestOffers:
    def offered(self, stage):
        tag = submitted(stage)
        stage.done(answer, Answer(tags=[tag], word="offers", offer="Una Dale /10", reply_by=date(2026, 3, 3)))
        return tag

    async def test_answered_and_passed_on(self, stage):
        tag = self.offered(stage)
        async with stage.open() as player:
            await player.press("d")
            assert "Una Dale /10" in player.words
            await player.press("enter", "enter")
            await player.type("by message", "enter")
            assert stage.claim(tag).offer_answer == "take"
            await player.press("b")
            assert "They chose: take" in player.words
            await player.press("enter", "enter")
            assert "Nothing is left to be decided" in player.words
        assert stage.claim(tag).state == "submitted"


class TestOwner:
    async def test_one_of_several_with_a_reason(self, stage):
        tag = stage.pull("Ada+Bo")
        async with stage.open() as player:
            await player.press("d")
            assert "Perhaps Ada Fenn" in player.words
            await player.press("enter", "down", "enter", "down", "enter", "enter")
            assert stage.claim(tag).owner_kind == "several"
            await player.type("rolled a die on camera", "enter")
        assert stage.claim(tag).owner_id == stage.people["Bo"]

    async def test_on_air_they_go_by_their_on_air_names(self, stage):
        stage.pull("Ada+Bo")
        async with stage.open(on_air=True) as player:
            await player.press("d", "enter", "down", "enter")
            assert "Larch" in player.seen
            assert "Bo Larch" not in player.seen
            await player.press("enter")
            await player.type("why", "enter")
            assert "Ada Fenn" not in player.seen

    async def test_a_draw_that_anybody_can_check(self, stage):
        tag = stage.pull("Ada+Bo")
        async with stage.open(on_air=True) as player:
            await player.press("d", "enter", "enter")
            assert "Say this aloud before a word is called" in player.words
            assert stage.claim(tag).owner_kind == "several"
            await player.press("escape", "enter", "enter")
            await player.type("heron,kettle", "enter")
            assert "Drawn:" in player.words
            assert "Ada Fenn" not in player.seen
            await player.press("escape")
            assert "Nothing is left to be decided" in player.words
        assert stage.claim(tag).owner_id in (stage.people["Ada"], stage.people["Bo"])


class TestFailedSubmission:
    async def test_another_reading(self, stage):
        tag = stage.pull(code="AB1O")
        stage.done(submission_failed, tag, "invalid")
        async with stage.open() as player:
            await decide(player, 1, "enter")
        assert stage.do(read_code, stage.claim(tag).id) != "AB1O"
        assert [item.claim.tag for item in stage.today().submit] == [tag]

    async def test_again_as_it_is(self, stage):
        tag = stage.pull()
        stage.done(submission_failed, tag, "invalid")
        async with stage.open() as player:
            await decide(player, 0)
        assert [item.claim.tag for item in stage.today().submit] == [tag]

    async def test_refused(self, stage):
        tag = stage.pull()
        stage.done(submission_failed, tag, "already_used")
        async with stage.open() as player:
            await decide(player, 2, "enter")
            assert "refused" in player.seen
        assert why(stage) == ["refused"]
        assert stage.claim(tag).state == "refused"


class TestParcels:
    def lost(self, stage):
        tag = submitted(stage)
        stage.done(in_hand, InHand(tag=tag))
        stage.done(start_parcel, [tag])
        stage.done(ship, Ship(parcel_id=1, reason="test"))
        stage.done(parcel_failed, 1, "lost")
        return tag

    async def test_found_again(self, stage):
        tag = self.lost(stage)
        async with stage.open() as player:
            await decide(player, 0, "enter")
        assert stage.claim(tag).state == "in_hand"
        assert len(stage.today().ship) == 1

    async def test_refunded_with_the_carrier_proposed(self, stage):
        tag = self.lost(stage)
        async with stage.open() as player:
            await decide(player, 2)
            await player.type("25", "enter", "enter")
            await player.type("agreed", "enter")
        claim = stage.claim(tag)
        assert (claim.state, claim.closed_how, claim.fault) == ("closed", "refunded", "carrier")

    async def test_it_arrived_after_all(self, stage):
        tag = self.lost(stage)
        async with stage.open() as player:
            await decide(player, 1)
        assert stage.claim(tag).closed_how == "delivered"


class TestPromises:
    async def test_a_follow_up_is_done(self, stage):
        tag = submitted(stage)
        stage.done(follow_up, tag, date(2026, 3, 2), "call her")
        async with stage.open() as player:
            await player.press("d")
            assert "call her" in player.words
            await player.press("enter", "enter", "enter")
        assert why(stage) == []

    async def test_a_follow_up_gets_a_new_day(self, stage):
        tag = submitted(stage)
        stage.done(follow_up, tag, date(2026, 3, 2), "call her")
        async with stage.open() as player:
            await decide(player, 1)
            await player.type("7", "enter", "enter")
        assert stage.claim(tag).follow_up_on == date(2026, 3, 9)

    async def test_a_promise_to_a_person_is_kept(self, stage):
        stage.done(promise, "Ada Fenn", date(2026, 3, 2), "send a picture")
        async with stage.open() as player:
            await player.press("d")
            assert "send a picture" in player.words
            await player.press("enter", "enter")
        assert why(stage) == []

    async def test_a_marked_maker_is_looked_at_again_on_its_day(self, stage):
        tag = stage.pull("Ada")
        stage.done(submit, Submit(tag=tag, reference="R 1"))
        stage.done(mark_maker, MarkMaker(maker="Tern Cards", what="was bought", review_on=date(2026, 3, 20)))
        async with stage.open() as player:
            await player.press("d")
            assert "Nothing is left to be decided." in player.words
        stage.later(days=18)
        async with stage.open() as player:
            await player.press("d")
            assert "You marked this maker; the day to look at it again has come." in player.words
            assert "Marked was bought" in player.words
            await player.press("enter", "enter")
            await player.type("10", "enter")
            assert "Tern Cards comes back on Monday 30 March 2026." in player.status
            assert "Nothing is left to be decided." in player.words
            await player.press("u", "enter")
            assert "You marked this maker" in player.words
            await player.press("enter", "down", "enter")
            assert "Nothing is left to be decided." in player.words
        assert stage.today().ask[0].claims[0].claim.tag == tag

    async def test_a_promise_is_moved_with_a_reason(self, stage):
        stage.done(promise, "Ada Fenn", date(2026, 3, 2), "send a picture")
        async with stage.open() as player:
            await player.press("d", "p", "down", "enter")
            await player.type("thursday", "enter")
            await player.type("the camera is broken", "enter")
        assert why(stage) == []
        stage.later(days=3)
        assert why(stage) == ["follow_up"]

    async def test_somebody_who_does_not_answer(self, stage):
        tag = submitted(stage)
        stage.done(in_hand, InHand(tag=tag))
        stage.later(days=95)
        for _ in range(4):
            async with stage.open() as player:
                await player.press("t", "y", "y")
            stage.later(days=6)
        assert why(stage) == ["not_answering"]
        async with stage.open() as player:
            await player.press("d")
            assert "does not answer" in player.words
            await player.press("enter", "enter")
        assert why(stage) == []
        assert stage.today().ship[0].address_confirmed
