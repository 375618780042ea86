"""Whole stories at the desk: asks, offers, splits, parcels, settled cards that arrive, holds, addresses, the past."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from breakdesk.desk import (
    arriving,
    asking,
    codes,
    following,
    looking,
    people,
    settling,
    shipping,
    submitting,
    telling,
    viewing,
)
from breakdesk.files.as_json import today_json
from breakdesk.store import models
from breakdesk.store.claims import read_claims

DAY = date(2026, 3, 2)


def submitted(world: Any, *more: Any, **pulled: Any) -> str:
    """A claim with its maker."""
    tag: str = world.pull(*more, **pulled)
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, reference="R1")))
    return tag


def arrived(world: Any, *more: Any, **pulled: Any) -> str:
    """A claim whose card is here."""
    tag = submitted(world, *more, **pulled)
    world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag)))
    return tag


def packed(world: Any, *tags: str) -> int:
    """A parcel with these cards."""
    world.done(shipping.start_parcel(world.desk, tags))
    return int(models.Parcel.select().order_by(models.Parcel.id.desc()).first().id)


def shipped(world: Any, *tags: str) -> int:
    """A parcel on its way."""
    parcel = packed(world, *tags)
    world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=parcel, reason="in a hurry")))
    return parcel


class TestAsking:
    def test_an_open_office_is_asked_at_most_once_a_business_day(self, world: Any) -> None:
        tag = submitted(world)
        world.done(asking.ask(world.desk, [tag, tag.lower()]))
        assert models.AskClaim.select().count() == 1
        assert world.claim(tag).last_asked_on == DAY
        assert "may be asked about from 3 March 2026" in world.refused(lambda: asking.ask(world.desk, [tag])).what
        world.later(hours=5)
        assert world.today().ask == ()
        world.later(1, hours=-5)
        world.done(asking.ask(world.desk, [tag]))

    def test_on_a_weekend_it_is_held_and_only_at_opening_an_ask(self, world: Any) -> None:
        tag = submitted(world)
        world.later(5)
        done = world.done(asking.ask(world.desk, [tag], "Dear Tern"))
        assert "held until it opens, Monday 09:00" in done.said
        claim = world.claim(tag)
        assert (claim.ask_held, claim.last_asked_on) == (True, None)
        assert world.today().ask == ()
        ask_id = models.Ask.get().id
        assert "still closed" in world.refused(lambda: asking.send_held(world.desk, ask_id)).what
        assert "held already" in world.refused(lambda: asking.ask(world.desk, [tag])).what
        world.later(2)
        world.done(asking.send_held(world.desk, ask_id))
        claim = world.claim(tag)
        assert (claim.ask_held, claim.last_asked_on) == (False, date(2026, 3, 9))
        world.refused(lambda: asking.send_held(world.desk, ask_id))

    def test_a_card_that_came_meanwhile_is_not_asked_about(self, world: Any) -> None:
        first, second = submitted(world), submitted(world)
        world.later(5)
        world.done(asking.ask(world.desk, [first, second]))
        world.done(arriving.in_hand(world.desk, arriving.InHand(tag=first)))
        world.later(2)
        assert "1 claim." in world.done(asking.send_held(world.desk, models.Ask.get().id)).said
        assert (world.claim(first).last_asked_on, world.claim(first).ask_held) == (None, False)
        assert world.claim(second).last_asked_on == date(2026, 3, 9)

    def test_the_ask_carries_the_makers_date(self, world: Any) -> None:
        tag = submitted(world, maker="Rising Press")
        world.later(hours=9)
        world.done(asking.ask(world.desk, [tag]))
        claim = world.claim(tag)
        assert (claim.last_asked_on, claim.last_event_on) == (date(2026, 3, 3), DAY)
        world.done(asking.answer(world.desk, asking.Answer(tags=[tag], word="being_made")))
        assert (world.claim(tag).answer, world.claim(tag).answer_days) == ("being_made", 30)

    def test_rationed_and_to_one_maker(self, world: Any) -> None:
        tags = [submitted(world, subject=f"Kit Moor {n}") for n in range(11)]
        assert "at most 10" in world.refused(lambda: asking.ask(world.desk, tags)).what
        other = submitted(world, maker="Rising Press")
        assert "different makers" in world.refused(lambda: asking.ask(world.desk, [tags[0], other])).what

    def test_no_reply_is_followed_up_and_keeps_the_makers_days(self, world: Any) -> None:
        tag = submitted(world)
        world.done(asking.ask(world.desk, [tag]))
        world.later(7)
        assert world.why(tag) == ["follow_up"]
        world.done(following.followed_up(world.desk, tag))
        assert world.why(tag) == []
        assert [item.claim.tag for maker in world.today().ask for item in maker.claims] == [tag]

    def test_a_look_is_not_an_ask(self, world: Any) -> None:
        tag = submitted(world)
        done = world.done(looking.look(world.desk, "tern cards", [tag.lower(), "NONE"]))
        assert "1 claim unchanged" in done.said
        assert world.claim(tag).last_asked_on is None


class TestOffers:
    def test_chosen_passed_on_and_waiting_again(self, world: Any) -> None:
        tag = submitted(world)
        world.done(asking.ask(world.desk, [tag]))
        request = asking.Answer(tags=[tag], word="offers", offer="a gold one", reply_by=DAY + timedelta(days=9))
        world.done(asking.answer(world.desk, request))
        assert world.why(tag) == []
        world.later(7)
        assert world.why(tag) == ["offer"]
        assert "Nobody has answered" in world.refused(lambda: settling.pass_on_offer(world.desk, tag)).what
        world.done(settling.answer_offer(world.desk, tag, "take", "on the phone"))
        world.done(settling.pass_on_offer(world.desk, tag))
        # The offer was the maker's reply to the ask: there is nothing to follow up.
        assert world.why(tag) == []
        assert (world.claim(tag).state, world.claim(tag).offer_answer) == ("submitted", "take")

    def test_a_reply_by_in_the_past_is_refused(self, world: Any) -> None:
        tag = submitted(world)
        request = asking.Answer(tags=[tag], word="offers", reply_by=DAY - timedelta(days=1))
        assert "is past" in world.refused(lambda: asking.answer(world.desk, request)).what


class TestArrival:
    def test_settled_before_it_is_the_houses(self, world: Any) -> None:
        tag = submitted(world)
        request = settling.Close(tag=tag, how="refunded", amount="12.50", fault="maker")
        assert "stays in the rounds" in world.done(settling.close(world.desk, request)).said
        assert world.news(tag) == {world.people["Ada"]: "refunded"}
        assert [claim.claim.tag for maker in world.today().ask for claim in maker.claims] == [tag]
        assert "house's own" in world.refused(lambda: settling.close(world.desk, request)).what
        assert "settled with before" in world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag))).said
        assert world.today().ship == ()
        world.done(settling.close(world.desk, settling.Close(tag=tag, how="kept")))
        claim = world.claim(tag)
        assert (claim.state, claim.closed_how, claim.settled_how, claim.settled_amount) == (
            "closed",
            "kept",
            "refunded",
            1250,
        )
        assert claim.news == ()

    def test_a_part_waits_on(self, world: Any) -> None:
        tag = submitted(world, subject="Kit Moor;Jo Reed", value=500)
        done = world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag, still_owed="Jo Reed")))
        (rest,) = (claim for claim in read_claims(world.desk.database) if claim.tag != tag)
        assert rest.tag in done.said
        assert (rest.state, rest.subject, rest.owner_id, rest.reference) == (
            "submitted",
            "Jo Reed",
            world.people["Ada"],
            "R1",
        )
        assert (rest.split_from, rest.value, rest.submitted_on) == (world.claim(tag).id, None, DAY)
        assert world.news(rest.tag) == {world.people["Ada"]: "noted"}

    def test_not_as_promised_comes_back_to_be_decided(self, world: Any) -> None:
        tag = submitted(world)
        world.done(following.follow_up(world.desk, tag, DAY + timedelta(days=20), "call"))
        done = world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag, as_promised=False)))
        assert "promised for 22 March 2026" in done.warnings[0]
        assert world.why(tag) == ["follow_up"]

    def test_serials_that_do_not_fit_are_questioned(self, world: Any) -> None:
        first, second = submitted(world, numbered_to=25), submitted(world, numbered_to=25)
        assert not world.done(arriving.in_hand(world.desk, arriving.InHand(tag=first, serial=7))).warnings
        assert first in world.done(arriving.in_hand(world.desk, arriving.InHand(tag=second, serial=7))).warnings[0]
        third = submitted(world, numbered_to=25)
        assert "26" in world.done(arriving.in_hand(world.desk, arriving.InHand(tag=third, serial=26))).warnings[0]


class TestParcels:
    def test_from_the_steps_to_the_hands(self, world: Any) -> None:
        world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Lane", "us"))
        one, two = arrived(world), arrived(world, value=60_000)
        parcel = packed(world, one, two)
        assert "in a parcel already" in world.refused(lambda: shipping.start_parcel(world.desk, [one])).what
        assert {"serial read", "postage", "insurance", "signature"} <= set(shipping.open_steps(parcel))
        problem = world.refused(lambda: shipping.ship(world.desk, shipping.Ship(parcel_id=parcel, tracking="T1")))
        assert "serial read" in problem.what
        for step in models.ParcelStep.select():
            world.done(shipping.tick(world.desk, step.id))
        assert shipping.open_steps(parcel) == []
        world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=parcel, tracking=" T1 ")))
        assert (world.claim(one).state, world.claim(one).tracking) == ("shipped", "T1")
        world.later(3)
        world.done(shipping.delivered(world.desk, parcel))
        assert (world.claim(two).closed_how, world.claim(two).news) == ("delivered", ())
        third = arrived(world)
        for days, confirmed in ((90, True), (1, False)):
            world.later(days)
            assert [(row.address_confirmed, row.claims[0].tag) for row in world.today().ship] == [(confirmed, third)]

    def test_one_participants_cards(self, world: Any) -> None:
        tags = [arrived(world), arrived(world, "Bo")]
        problem = world.refused(lambda: shipping.start_parcel(world.desk, tags))
        assert "different participants" in problem.what

    def test_a_card_sold_after_packing_is_not_shipped_to_the_old_owner(self, world: Any) -> None:
        one, two = arrived(world), arrived(world)
        parcel = packed(world, one, two)
        world.done(settling.change_owner(world.desk, one, "Bo Larch", "sold"))
        assert world.claim(one).parcel_id is None
        assert len([name for name in shipping.open_steps(parcel) if name == "sleeve"]) == 1
        world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=parcel, reason="in a hurry")))
        assert (world.claim(one).state, world.claim(two).state) == ("in_hand", "shipped")
        problem = world.refused(lambda: settling.change_owner(world.desk, two, "Bo Larch", "sold"))
        assert "on its way" in problem.what

    def test_a_parcel_from_which_every_card_was_taken_does_not_go(self, world: Any) -> None:
        tag = arrived(world)
        parcel = packed(world, tag)
        world.done(settling.close(world.desk, settling.Close(tag=tag, how="refunded", amount="5", fault="house")))
        problem = world.refused(lambda: shipping.ship(world.desk, shipping.Ship(parcel_id=parcel, reason="x")))
        assert "no card in parcel" in problem.what

    @pytest.mark.parametrize("whose", ["claim", "person"])
    def test_nothing_on_hold_goes_out(self, world: Any, whose: str) -> None:
        tag = arrived(world)
        parcel = packed(world, tag)
        if whose == "claim":
            world.done(following.hold(world.desk, tag, "disputed"))
        else:
            world.done(following.hold_person(world.desk, "Ada Fenn", on=True, reason="disputed"))
        lists = world.today()
        assert (lists.submit, lists.ask, lists.tell, lists.ship, lists.decide) == ((), (), (), (), ())
        assert viewing.today(world.desk).on_hold == 1
        problem = world.refused(lambda: shipping.ship(world.desk, shipping.Ship(parcel_id=parcel, reason="x")))
        assert "on hold" in problem.what

    def test_a_card_refunded_on_the_way_stays_refunded_when_it_arrives(self, world: Any) -> None:
        one, two = arrived(world), arrived(world)
        parcel = shipped(world, one, two)
        world.done(settling.close(world.desk, settling.Close(tag=one, how="refunded", amount="5", fault="carrier")))
        world.done(shipping.delivered(world.desk, parcel))
        assert (world.claim(one).closed_how, world.claim(two).closed_how) == ("refunded", "delivered")

    def test_lost_found_and_sent_again(self, world: Any) -> None:
        tag = arrived(world)
        parcel = shipped(world, tag)
        world.done(shipping.parcel_failed(world.desk, parcel, "returned", "wrong door"))
        assert world.why(tag) == ["lost"]
        world.done(shipping.back_in_hand(world.desk, tag))
        assert world.why(tag) == []
        assert "no card in parcel" in world.refused(lambda: shipping.delivered(world.desk, parcel)).what
        world.done(shipping.delivered(world.desk, shipped(world, tag)))
        assert world.claim(tag).closed_how == "delivered"

    def test_a_claim_card_is_given_and_may_come_back(self, world: Any) -> None:
        first, second = world.pull(plan="give"), world.pull(plan="give")
        world.done(shipping.delivered(world.desk, shipped(world, first)))
        assert world.claim(first).closed_how == "given"
        world.done(shipping.parcel_failed(world.desk, shipped(world, second), "returned"))
        world.done(shipping.back_in_hand(world.desk, second))
        assert (world.claim(second).state, world.claim(second).in_hand_on) == ("pulled", None)
        assert [claim.tag for row in world.today().ship for claim in row.claims] == [second]


class TestTelling:
    def test_told_is_told_and_silence_starts_anew(self, world: Any) -> None:
        tag, other = submitted(world), submitted(world)
        world.later(3)
        (row,) = world.today().tell
        message = telling.telling_for(world.desk, row.person.id)
        assert set(message.claim_ids) == {world.claim(tag).id, world.claim(other).id}
        world.done(telling.mark_told(world.desk, row.person.id, message.claim_ids, "chat", message.message.text))
        assert world.today().tell == ()
        world.later(59)
        assert world.today().tell == ()
        world.later(1)
        assert [line.news for line in world.today().tell[0].items] == ["waiting", "waiting"]

    def test_what_is_on_hold_is_not_in_the_message(self, world: Any) -> None:
        tag, held = submitted(world), submitted(world)
        world.done(following.hold(world.desk, held, "disputed"))
        message = telling.telling_for(world.desk, world.people["Ada"])
        assert message.claim_ids == (world.claim(tag).id,)


class TestAddresses:
    def test_confirmed_moved_and_confirmed_after_all(self, world: Any) -> None:
        arrived(world)

        def confirmed() -> bool:
            return bool(world.today().ship[0].address_confirmed)

        assert not confirmed()
        world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Lane", "US"))
        assert confirmed()
        world.done(people.said_moved(world.desk, "Ada Fenn"))
        assert not confirmed()
        assert "confirmed" in world.done(people.confirm_address(world.desk, "Ada Fenn", country="us")).said
        assert confirmed()
        assert models.Address.select().count() == 1
        world.later(91)
        assert not confirmed()


class TestCodes:
    def test_a_code_is_on_one_claim_and_a_lookalike_is_questioned(self, world: Any) -> None:
        first = world.pull(code="KWMH-4421")
        second = world.pull()
        problem = world.refused(lambda: codes.enter_code(world.desk, second, "kwmh 4421"))
        assert first in problem.what
        assert "4421" not in problem.sentence
        assert first in world.done(codes.enter_code(world.desk, second, "KWMH-442I")).warnings[0]
        assert codes.read_code(world.desk, world.claim(first).id) == "KWMH4421"
        assert "empty" in world.refused(lambda: codes.enter_code(world.desk, second, " - ")).what
        world.done(settling.void(world.desk, first, "typed twice"))
        world.done(codes.enter_code(world.desk, second, "KWMH4421"))


class TestThePast:
    """ "`--on` an instant in the past: facts dated after it are left out, by the day they happened." """

    @staticmethod
    def _lists(desk: Any) -> dict[str, Any]:
        """The five lists as programs read them: how much is read of a claim that only waits is no part of them."""
        view = viewing.today(desk)
        return today_json(view.today, view.parties)

    def test_day_by_day(self, world: Any) -> None:
        tag = submitted(world)
        shown = {0: (self._lists(world.desk), viewing.owed(world.desk))}
        steps = [
            lambda: asking.ask(world.desk, [tag]),
            lambda: people.confirm_address(world.desk, "Ada Fenn", "1 Mill Lane", "US"),
            lambda: arriving.in_hand(world.desk, arriving.InHand(tag=tag)),
            lambda: people.said_moved(world.desk, "Ada Fenn"),
            lambda: people.confirm_address(world.desk, "Ada Fenn", "2 Mill Lane"),
            lambda: following.park(world.desk, "ship", world.people["Ada"], DAY + timedelta(days=30), "later"),
            lambda: following.hold_person(world.desk, "Ada Fenn", on=True, reason="disputed"),
            lambda: following.hold_person(world.desk, "Ada Fenn", on=False),
            lambda: people.confirm_address(world.desk, "Ada Fenn"),
            lambda: telling.mark_told(world.desk, world.people["Ada"], [world.claim(tag).id], "chat", "Hi."),
            lambda: following.hold(world.desk, tag, "disputed"),
        ]
        for number, step in enumerate(steps, start=1):
            world.later(1)
            world.done(step())
            shown[number] = (self._lists(world.desk), viewing.owed(world.desk))
        for number, (today, owed) in shown.items():
            past = world.on(datetime(2026, 3, 2, 17, tzinfo=UTC) + timedelta(days=number))
            assert self._lists(past) == today, f"day {number}"
            assert viewing.owed(past) == owed, f"day {number}"

    def test_an_ask_of_tomorrow_is_left_out(self, world: Any) -> None:
        tag = submitted(world)
        world.later(1)
        world.done(asking.ask(world.desk, [tag]))
        yesterday = viewing.today(world.on(world.now - timedelta(days=1))).today
        assert [item.claim.tag for maker in yesterday.ask for item in maker.claims] == [tag]

    def test_what_was_undone_later_never_was(self, world: Any) -> None:
        tag = world.pull()
        world.later(1)
        done = world.done(submitting.submit(world.desk, submitting.Submit(tag=tag)))
        world.later(9)
        from breakdesk.desk.undoing import undo

        world.done(undo(world.desk, done.key))
        past = viewing.today(world.on(world.now - timedelta(days=8))).today
        assert [item.claim.tag for item in past.submit] == [tag]

    def test_promises_kept_since_were_open_then(self, world: Any) -> None:
        world.done(people.promise(world.desk, "Ada Fenn", DAY + timedelta(days=1), "call"))
        world.later(5)
        assert len(world.today().decide) == 1
        world.done(people.kept_promise(world.desk, models.FollowUp.get().id))
        assert world.today().decide == ()
        assert len(world.today(world.on(world.now - timedelta(days=2))).decide) == 1
