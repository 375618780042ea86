"""Random walks over the desk: after every step the history, the rows, the lists and the money agree."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import timedelta
from typing import Any

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, rule, run_state_machine_as_test

from breakdesk.desk import (
    arriving,
    asking,
    codes,
    following,
    people,
    settling,
    shipping,
    submitting,
    telling,
    undoing,
)
from breakdesk.desk.acting import act
from breakdesk.desk.problems import Done, Problem, refuse
from breakdesk.rules.claim import CLOSINGS
from breakdesk.store import models
from breakdesk.store.claims import read_claims

from .machine_actions import EVERY, PICK, MoreActions, open_break
from .machine_checks import Invariants

LONGER = int(os.environ.get("BREAKDESK_LONGER", "1"))
"""How many times as many walks as usual are walked."""
PULLS = st.tuples(
    st.sampled_from(["Ada", "Ada", "Bo", "Cy", "house", "nobody", "Ada+Bo"]),
    st.sampled_from(["Tern Cards", "Rising Press", "Setting Press"]),
    st.sampled_from(["submit", "submit", "submit", "give"]),
    st.sampled_from([None, None, -1, 0, 2]),
    st.sampled_from([None, 500, 60_000]),
    st.sampled_from(["", "", "KWMH4421", "TT9PX3"]),
)
"""Owner, maker, plan, days until the card expires, value, code."""
NAMES = st.sampled_from(["Ada", "Bo", "Cy", "house"])


def machine(new_world: Callable[[], Any]) -> type[RuleBasedStateMachine]:
    """The machine over worlds of its own."""

    class Desk(MoreActions, Invariants, RuleBasedStateMachine):
        @initialize(pulls=st.lists(PULLS, min_size=2, max_size=4))
        def open(self, pulls: list[tuple[Any, ...]]) -> None:
            self.world = new_world()
            self.desk = self.world.desk
            self.tags: list[str] = []
            self.keys: list[int] = []
            self.break_id = open_break(self)
            for pull in pulls:
                self.write_down(*pull)

        def tag(self, pick: int) -> str:
            return self.tags[pick % len(self.tags)] if self.tags else "NONE"

        def note(self, result: object) -> bool:
            done = [one for one in (result if isinstance(result, list) else [result]) if isinstance(one, Done)]
            self.keys += [one.key for one in done]
            self.tags = [claim.tag for claim in read_claims(self.desk.database)]
            return bool(done)

        @rule(pull=PULLS)
        def pull(self, pull: tuple[Any, ...]) -> None:
            if len(self.tags) < 6:
                self.write_down(*pull)

        def write_down(
            self, owner: str, maker: str, plan: str, expires: int | None, value: int | None, code: str
        ) -> None:
            day = None if expires is None else self.world.now.date() + timedelta(days=expires)
            if code in self.codes_in_use():
                code = ""
            if self.is_gone(owner):
                return
            tag = self.world.pull(owner, maker=maker, plan=plan, value=value, expires_on=day, code=code)
            self.note(None)
            self.keys.append(models.Action.select().order_by(models.Action.number.desc()).first().key)
            assert tag in self.tags

        def is_gone(self, owner: str) -> bool:
            """Whether one of the owners was merged with another or erased."""
            table = models.Participant
            gone = table.select().where(table.merged_into.is_null(False) | table.erased_on.is_null(False))
            return bool({int(row.id) for row in gone} & set(self.world.owner(owner).ids))

        def codes_in_use(self) -> set[object]:
            rows = models.ClaimCode.select().where(models.ClaimCode.digest.is_null(False))
            return {codes.read_code(self.desk, row.claim_id) for row in rows}

        @rule(days=st.sampled_from([1, 1, 3, 7, 30, 65]), hours=st.integers(0, 23))
        def time_passes(self, days: int, hours: int) -> None:
            self.world.later(days, hours=hours)

        @rule(pick=PICK, how=st.sampled_from(["", "", "invalid", "site_down"]))
        def submit(self, pick: int, how: str) -> None:
            tag = self.tag(pick)
            if how:
                self.note(submitting.submission_failed(self.desk, tag, how))
            else:
                self.note(submitting.submit(self.desk, submitting.Submit(tag=tag, reference=f"R-{pick}")))

        @rule(pick=PICK, choice=st.sampled_from(["try", "ask"]))
        def choose(self, pick: int, choice: str) -> None:
            self.note(submitting.choose_for_expired(self.desk, self.tag(pick), choice))
            self.note(submitting.try_again(self.desk, self.tag(pick)))

        @rule()
        def ask_all_that_may_be_asked(self) -> None:
            for maker in self.world.today().ask:
                self.note(asking.ask(self.desk, [item.claim.tag for item in maker.claims], "Any news?"))

        @rule(send=st.booleans())
        def send_or_drop_held(self, send: bool) -> None:
            for row in models.Ask.select().where(models.Ask.held == 1):
                self.note((asking.send_held if send else asking.drop_held)(self.desk, row.id))

        @rule(pick=PICK, word=st.sampled_from(["no_news", "on_its_way", "offers", "offers", "refuses"]), by=PICK)
        def answer(self, pick: int, word: str, by: int) -> None:
            reply_by = self.world.now.date() + timedelta(days=by % 20) if word == "offers" and by % 2 else None
            self.note(asking.answer(self.desk, asking.Answer(tags=[self.tag(pick)], word=word, reply_by=reply_by)))

        @rule(pick=PICK)
        def answer_the_offer(self, pick: int) -> None:
            self.note(settling.answer_offer(self.desk, self.tag(pick), "wait"))
            if pick % 2:
                self.note(settling.pass_on_offer(self.desk, self.tag(pick)))

        @rule(pick=PICK, still=st.sampled_from(["", "", "the second card"]), promised=st.booleans())
        def arrive(self, pick: int, still: str, promised: bool) -> None:
            request = arriving.InHand(tag=self.tag(pick), still_owed=still, as_promised=promised)
            self.note(arriving.in_hand(self.desk, request))

        @rule()
        def tell_everybody_due(self) -> None:
            for item in self.world.today().tell:
                message = telling.telling_for(self.desk, item.person.id)
                assert {(line.claim.id, line.news) for line in item.items} <= {
                    (line.claim.id, line.news) for line in message.items
                }
                self.note(telling.mark_told(self.desk, item.person.id, message.claim_ids, "chat", "Hello."))

        @rule(pick=PICK)
        def pack_and_perhaps_ship(self, pick: int) -> None:
            for item in self.world.today().ship:
                tags = [claim.tag for claim in item.claims if claim.parcel_id is None]
                if tags:
                    self.note(shipping.start_parcel(self.desk, tags))
            for parcel in models.Parcel.select().where(models.Parcel.state == "packing"):
                if pick % 2:
                    request = shipping.Ship(parcel_id=parcel.id, tracking="T1", reason="in a hurry")
                    self.note(shipping.ship(self.desk, request))

        @rule(how=st.sampled_from(["delivered", "delivered", "lost", "returned"]))
        def parcels_end(self, how: str) -> None:
            for parcel in models.Parcel.select():
                if how == "delivered":
                    self.note(shipping.delivered(self.desk, parcel.id))
                else:
                    self.note(shipping.parcel_failed(self.desk, parcel.id, how))

        @rule(pick=PICK)
        def comes_back(self, pick: int) -> None:
            self.note(shipping.back_in_hand(self.desk, self.tag(pick)))

        @rule(pick=PICK, how=st.sampled_from(CLOSINGS))
        def close(self, pick: int, how: str) -> None:
            request = settling.Close(tag=self.tag(pick), how=how, amount="5.00", fault="nobody")
            self.note(settling.close(self.desk, request))

        @rule(pick=PICK, word=st.sampled_from(["void", "refuse", "hold", "release", "hold", "note", "kept up"]))
        def single(self, pick: int, word: str) -> None:
            tag = self.tag(pick)
            if word == "void":
                self.note(settling.void(self.desk, tag, "typed twice"))
            elif word == "refuse":
                self.note(settling.refuse_claim(self.desk, tag))
            elif word == "hold":
                self.note(following.hold(self.desk, tag, "disputed"))
            elif word == "release":
                self.note(following.release(self.desk, tag))
            elif word == "note":
                self.note(following.note(self.desk, tag, "A word.", is_news=bool(pick % 2)))
            else:
                self.note(following.followed_up(self.desk, tag))

        @rule(pick=PICK, to=NAMES)
        def transfer(self, pick: int, to: str) -> None:
            name = {"Ada": "Ada Fenn", "Bo": "Bo Larch", "Cy": "Cy Wold"}.get(to, to)
            self.note(settling.change_owner(self.desk, self.tag(pick), name, "sold"))

        @rule(pick=PICK, days=st.integers(0, 9))
        def promise(self, pick: int, days: int) -> None:
            on = self.world.now.date() + timedelta(days=days)
            self.note(following.follow_up(self.desk, self.tag(pick), on, "call back"))

        @rule(who=st.sampled_from(["Ada Fenn", "Bo Larch"]), what=st.sampled_from(["confirm", "moved", "hold", "free"]))
        def person(self, who: str, what: str) -> None:
            if what == "confirm":
                people.confirm_address(self.desk, who, "1 Mill Lane", "US")
            elif what == "moved":
                people.said_moved(self.desk, who)
            else:
                following.hold_person(self.desk, who, on=what == "hold", reason="disputed")

        @rule(pick=PICK, until=st.integers(1, 9), name=st.sampled_from(["submit", "ask", "tell", "ship", "decide"]))
        def park(self, pick: int, until: int, name: str) -> None:
            item = pick % 3 + 1
            self.note(following.park(self.desk, name, item, self.world.now.date() + timedelta(days=until + 1), "later"))

        @rule(back=st.integers(1, 3))
        def undo(self, back: int) -> None:
            if len(self.keys) >= back:
                self.note(undoing.undo(self.desk, self.keys[-back]))

        def teardown(self) -> None:
            if hasattr(self, "world"):
                self.desk.close()

    return Desk


def test_random_walks(new_world: Callable[[], Any]) -> None:
    run_state_machine_as_test(
        machine(new_world),
        settings=settings(
            max_examples=12 * LONGER,
            stateful_step_count=20,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )
    if LONGER >= 20:
        assert set(MoreActions.did) == EVERY, EVERY - set(MoreActions.did)


def test_refusals_are_values(new_world: Callable[[], Any]) -> None:
    world = new_world()

    def work(a: Any) -> str:
        a.text("kept nowhere")
        raise refuse("No.")

    assert act(world.desk, "nothing", work) == Problem("No.")
    assert models.FreeText.select().count() == 0
