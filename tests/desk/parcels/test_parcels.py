"""Parcels: settable steps, what goes along, other recipients, postage out and back, and what comes after."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from breakdesk.desk import arriving, combining, people, shipping, submitting, terms
from breakdesk.desk.addresses import address_history, concerned_by_a_move
from breakdesk.desk.combining import combine, end_combining
from breakdesk.desk.parcel_details import (
    Contents,
    after_it_left,
    parcel_details,
    parcels_in,
    report_loss,
    send_to,
    set_contents,
)
from breakdesk.desk.postage import POSTAGE_COLUMNS, pack_everything, postage_rows
from breakdesk.desk.postage_back import Bought, foresee_postage, leave_together, take_postage
from breakdesk.desk.undoing import last_actions, undo
from breakdesk.store import models

DAY = date(2026, 3, 2)
VALID = "RA473124829GB"
"""The example of the standard S10 of the Universal Postal Union."""


def here(world: Any, owner: str = "Ada", ship_to: str = "house", **pulled: Any) -> str:
    tag: str = world.pull(owner, **pulled)
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag, ship_to=ship_to)))
    world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag)))
    return tag


def packed(world: Any, *tags: str) -> int:
    world.done(shipping.start_parcel(world.desk, tags))
    return int(models.Parcel.select().order_by(models.Parcel.id.desc()).first().id)


def tick_all(world: Any, parcel: int) -> None:
    for step in models.ParcelStep.select().where(models.ParcelStep.parcel == parcel):
        world.done(shipping.tick(world.desk, step.id))


def sent(world: Any, *tags: str) -> int:
    parcel = packed(world, *tags)
    world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=parcel, reason="in a hurry")))
    return parcel


def settle(world: Any, name: str, value: str) -> None:
    world.done(terms.settle(world.desk, terms.Settle(name=name, value=value)))


class TestSteps:
    def test_a_house_words_its_own_steps(self, world: Any) -> None:
        settle(world, "card_steps", "look at it; second photo from 20")
        settle(world, "parcel_steps", "sticker (optional); double box from 40")
        parcel = packed(world, here(world, value=2500), here(world, value=1999))
        table = models.ParcelStep
        steps = [(row.name, bool(row.mandatory)) for row in table.select().order_by(table.position)]
        assert steps == [("look at it", True), ("second photo", True), ("look at it", True), ("sticker", False),
                         ("double box", True)]  # fmt: skip
        assert shipping.open_steps(parcel) == ["look at it", "second photo", "double box"]

    @pytest.mark.parametrize("written", ["sleeve; Sleeve", "x" * 61, ";".join(map(str, range(31))), "a\x1bb"])
    def test_steps_that_cannot_be_are_refused(self, world: Any, written: str) -> None:
        wanted = terms.Settle(name="card_steps", value=written)
        world.refused(lambda: terms.settle(world.desk, wanted))


class TestPuttingIn:
    def test_what_came_since_goes_into_the_parcel_with_its_steps(self, world: Any) -> None:
        settle(world, "card_steps", "look at it")
        settle(world, "parcel_steps", "padding; double box from 40")
        first, second = here(world, value=2500), here(world, value=2500)
        parcel = packed(world, first)
        tick_all(world, parcel)
        done = world.done(shipping.add_to_parcel(world.desk, parcel, [second]))
        assert shipping.open_steps(parcel) == ["look at it", "double box"]
        world.done(undo(world.desk, done.key))
        assert shipping.open_steps(parcel) == ["double box"]
        world.done(shipping.add_to_parcel(world.desk, parcel, [second]))
        assert shipping.open_steps(parcel) == ["look at it", "double box"]
        assert models.ParcelStep.select().count() == 4
        world.refused(lambda: shipping.add_to_parcel(world.desk, parcel, [second]))
        other = here(world, "Bo")
        world.refused(lambda: shipping.add_to_parcel(world.desk, parcel, [other]))
        tick_all(world, parcel)
        world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=parcel)))
        assert [world.claim(tag).state for tag in (first, second)] == ["shipped", "shipped"]

    def test_packing_everything_puts_it_in_unless_the_postage_is_bought(self, world: Any) -> None:
        world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Row", "US"))
        here(world)
        pack_everything(world.desk)
        here(world)
        pack_everything(world.desk)
        assert [len(row.claims) for row in parcels_in(world.desk, "packing")] == [2]
        world.done(take_postage(world.desk, [Bought(line=2, parcel="1", tracking=VALID)]))
        here(world)
        pack_everything(world.desk)
        assert [len(row.claims) for row in parcels_in(world.desk, "packing")] == [2, 1]


class TestContents:
    def test_lines_a_note_and_a_weight(self, world: Any) -> None:
        parcel = packed(world, here(world))
        more = Contents(lines=("3 other hits ", ""), gift_note="All the best", weight_grams=85)
        world.done(set_contents(world.desk, parcel, more))
        found = parcel_details(world.desk, parcel)
        assert found is not None
        assert (found.lines, found.gift_note, found.weight_grams) == (("3 other hits",), "All the best", 85)
        world.refused(lambda: set_contents(world.desk, parcel, Contents(weight_grams=0)))
        world.refused(lambda: set_contents(world.desk, parcel, Contents()))
        world.refused(lambda: set_contents(world.desk, 99, more))

    def test_a_gift_goes_elsewhere_and_confirms_nothing(self, world: Any) -> None:
        world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Row", "US"))
        tag = here(world)
        parcel = packed(world, tag)
        world.refused(lambda: send_to(world.desk, parcel, "Uncle Bob", " ", "US"))
        world.done(send_to(world.desk, parcel, "Uncle Bob", "9 Hill Way", "ca"))
        found = parcel_details(world.desk, parcel)
        assert found is not None
        assert (found.to_name, found.address, found.country, found.is_gift) == ("Uncle Bob", "9 Hill Way", "CA", True)
        tick_all(world, parcel)
        world.later(89)
        world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=parcel, tracking=VALID)))
        world.done(shipping.delivered(world.desk, parcel))
        other = here(world)
        world.later(5)
        assert [person.address_confirmed for person in world.today().ship] == [False]
        assert world.claim(other).state == "in_hand"

    def test_what_a_parcel_has_to_be_is_said_in_plain_words(self, world: Any) -> None:
        parcel = packed(world, here(world))
        said = world.refused(lambda: shipping.delivered(world.desk, parcel)).sentence
        assert said == f"Parcel {parcel} is still being packed. That takes a parcel that has left."
        said = world.refused(lambda: shipping.parcel_failed(world.desk, parcel, "lost")).sentence
        assert said == f"Parcel {parcel} is still being packed. That takes a parcel that has left."


class TestPostage:
    def test_thirty_parcels_out_and_back_without_typing_one(self, world: Any) -> None:
        for name in ("Ada Fenn", "Bo Larch"):
            world.done(people.confirm_address(world.desk, name, f"{name}\n1 Mill Row\n=Town", "US"))
        tags = [here(world, "Ada", value=150000), here(world, "Bo"), here(world, "Cy")]
        assert len(pack_everything(world.desk)) == 2
        rows = [dict(zip(POSTAGE_COLUMNS, row, strict=True)) for row in postage_rows(world.desk)]
        assert [(row["name"], row["value"], row["signature"]) for row in rows] == [
            ("Ada Fenn", pytest.approx(1500), True),
            ("Bo Larch", None, False),
        ]
        assert rows[0]["address_3"] == "=Town"
        tick_all(world, 1)
        bought = [
            Bought(line=2, parcel="1", tracking=VALID, cost="4.50", insured="1500"),
            Bought(line=3, parcel=" 2", tracking="what 1"),
        ]
        foreseen = foresee_postage(world.desk, bought)
        assert [(row.parcel_id, row.cost, bool(row.standard), bool(row.doubt)) for row in foreseen] == [
            (1, 450, True, False),
            (2, None, False, True),
        ]
        assert [bool(row.open_steps) for row in foreseen] == [False, True]
        assert parcel_details(world.desk, 1).tracking == ""  # type: ignore[union-attr]
        assert world.done(take_postage(world.desk, bought)).said == "2 parcels with postage."
        left = world.done(leave_together(world.desk, [1, 2]))
        assert left.said == "1 parcel is on the way."
        assert left.warnings == ("Staying here: 1 parcel with open steps: 2.",)
        world.done(undo(world.desk, left.key))
        assert parcel_details(world.desk, 1).tracking == VALID  # type: ignore[union-attr]
        world.done(leave_together(world.desk, [1]))
        assert "None of these" in world.refused(lambda: leave_together(world.desk, [2])).what
        first = parcel_details(world.desk, 1)
        assert first is not None
        assert (first.state, first.tracking, first.cost, first.insured) == ("shipped", VALID, 450, 150000)
        assert first.standard
        assert [world.claim(tag).state for tag in tags] == ["shipped", "in_hand", "in_hand"]
        assert list(postage_rows(world.desk)) == []
        # What was bought is not typed again.
        tick_all(world, 2)
        world.done(shipping.ship(world.desk, shipping.Ship(parcel_id=2)))
        assert world.claim(tags[1]).tracking == "what 1"

    @pytest.mark.parametrize(
        ("rows", "said"),
        [
            ([], "no row"),
            ([("7", VALID, "")], "no parcel 7"),
            ([("x", VALID, "")], "no parcel x"),
            ([("1", "", "")], "no tracking number"),
            ([("1", VALID, ""), ("1", VALID, "")], "stands in line 2, too"),
            ([("1", VALID, "4,5,0")], ""),
        ],
    )
    def test_a_file_is_taken_whole_or_not_at_all(self, world: Any, rows: list[tuple[str, str, str]], said: str) -> None:
        packed(world, here(world))
        bought = [Bought(line=at, parcel=p, tracking=t, cost=c) for at, (p, t, c) in enumerate(rows, start=2)]
        problem = world.refused(lambda: take_postage(world.desk, bought))
        assert said in problem.what
        assert [row.problem for row in foresee_postage(world.desk, bought)].count(None) == max(0, len(bought) - 1)
        assert parcel_details(world.desk, 1).tracking == ""  # type: ignore[union-attr]


class TestAfterItLeft:
    def test_each_stage_says_what_is_next_and_by_when(self, world: Any) -> None:
        parcel = sent(world, here(world))
        assert after_it_left(world.desk)[0].next.phase == "wait"
        world.later(10)
        assert (after_it_left(world.desk)[0].next.phase, after_it_left(world.desk)[0].next.by) == (
            "ask",
            date(2026, 5, 1),
        )
        world.done(shipping.parcel_failed(world.desk, parcel, "lost"))
        assert after_it_left(world.desk)[0].next.phase == "report"
        world.later(45)
        assert after_it_left(world.desk)[0].next.phase == "closing"
        world.done(report_loss(world.desk, parcel))
        assert after_it_left(world.desk)[0].next.phase == "reported"
        world.refused(lambda: report_loss(world.desk, parcel))

    def test_damage_and_a_parcel_that_did_not_come(self, world: Any) -> None:
        tag = here(world)
        parcel = sent(world, tag)
        world.refused(lambda: shipping.parcel_failed(world.desk, parcel, "eaten"))
        said = world.done(shipping.parcel_failed(world.desk, parcel, "not_delivered")).said
        assert said == f"Parcel {parcel} was not delivered: 1 card waiting for your decision."
        assert world.why(tag) == ["lost"]
        assert after_it_left(world.desk)[0].next.words.startswith("trace it")
        world.refused(lambda: shipping.parcel_failed(world.desk, parcel, "not_delivered"))
        world.done(shipping.parcel_failed(world.desk, parcel, "damaged", "a corner"))
        step = after_it_left(world.desk)[0].next
        assert (step.phase, "report the damage" in step.words) == ("report", True)
        world.done(shipping.delivered(world.desk, parcel))
        assert world.claim(tag).closed_how == "delivered"
        sold = sent(world, here(world, "Bo"))
        world.done(shipping.parcel_failed(world.desk, sold, "damaged"))
        world.done(undo(world.desk, last_actions(1)[0].key))
        assert parcel_details(world.desk, sold).state == "shipped"  # type: ignore[union-attr]

    def test_a_lost_parcel_too_early_and_too_late(self, world: Any) -> None:
        parcel = sent(world, here(world))
        world.done(shipping.parcel_failed(world.desk, parcel, "lost"))
        assert (after_it_left(world.desk)[0].next.phase, after_it_left(world.desk)[0].next.by) == (
            "wait",
            date(2026, 3, 9),
        )
        world.later(61)
        assert after_it_left(world.desk)[0].next.phase == "closed"

    def test_a_lost_parcel_says_by_when_to_tell_them(self, world: Any) -> None:
        parcel = sent(world, here(world))
        world.done(shipping.parcel_failed(world.desk, parcel, "lost"))
        assert after_it_left(world.desk)[0].tell_by == date(2026, 3, 3)


class TestAddresses:
    def test_changes_are_kept_and_a_move_names_what_it_concerns(self, world: Any) -> None:
        world.done(people.confirm_address(world.desk, "Ada Fenn", "1 Mill Row", "US"))
        world.done(people.confirm_address(world.desk, "Ada Fenn", "2 Mill Row", "US"))
        known = address_history(world.people["Ada"])
        assert [(item.text, item.is_present) for item in known] == [("2 Mill Row", True), ("1 Mill Row", False)]
        direct = world.pull()
        world.done(submitting.submit(world.desk, submitting.Submit(tag=direct, ship_to="participant")))
        parcel = packed(world, here(world))
        found = concerned_by_a_move(world.desk, world.people["Ada"])
        assert ([claim.tag for claim in found.from_makers], found.parcels) == ([direct], (parcel,))


class TestCombining:
    def test_a_parcel_waits_up_to_the_houses_limit(self, world: Any) -> None:
        world.refused(lambda: combine(world.desk, "Ada Fenn"))
        here(world)
        waiting = world.pull()
        assert "later than the house" in world.refused(lambda: combine(world.desk, "Ada Fenn", date(2026, 4, 2))).what
        world.done(combine(world.desk, "Ada Fenn"))
        assert world.today().ship == ()
        (item,) = combining.combining(world.desk)
        assert (item.until, [claim.tag for claim in item.still_to_come]) == (date(2026, 4, 1), [waiting])
        world.done(combine(world.desk, "Ada Fenn", date(2026, 3, 20), "the next order"))
        (item,) = combining.combining(world.desk)
        assert (item.until, item.reason) == (date(2026, 3, 20), "the next order")
        world.done(end_combining(world.desk, "Ada Fenn"))
        assert len(world.today().ship) == 1
        world.refused(lambda: end_combining(world.desk, "Ada Fenn"))
        world.later(30)
        world.refused(lambda: combine(world.desk, "Ada Fenn"))
