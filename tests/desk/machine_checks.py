"""What has to hold after every step of a random walk, whatever was done."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from functools import partial
from typing import Any

from hypothesis.stateful import invariant

from breakdesk.desk import asking, following, settling, shipping, submitting, telling, viewing
from breakdesk.desk.checking import verify
from breakdesk.desk.problems import Problem
from breakdesk.desk.promises import promises_due
from breakdesk.desk.settling import BAD_ENDS
from breakdesk.rules.claim import ENDING_THE_HOUSES_DEBT, FAULTS
from breakdesk.rules.owed import owed_list
from breakdesk.rules.parties import NO_MAKER, Parties
from breakdesk.rules.rounds.items import Parked
from breakdesk.rules.rounds.today import today_lists
from breakdesk.store import maker_marks, models
from breakdesk.store.claims import read_claims
from breakdesk.store.parties import read_parties
from breakdesk.store.past import parked_as_of, past_of

from .briefs import parted

DECISIONS: tuple[Callable[..., object], ...] = (
    following.followed_up,
    lambda desk, tag: submitting.choose_for_expired(desk, tag, "try"),
    submitting.try_again,
    settling.pass_on_offer,
    lambda desk, tag: settling.answer_offer(desk, tag, "wait"),
    shipping.back_in_hand,
    lambda desk, tag: settling.change_owner(desk, tag, "house", "settled"),
    lambda desk, tag: settling.close(desk, settling.Close(tag=tag, how="terms", fault="nobody", reason="no answer")),
)
"""Ways to decide about a claim; of what waits for a decision one has to be open."""


class Invariants:
    """For a machine that has `world` and `desk`."""

    @invariant()
    def everything_holds(self: Any) -> None:
        if not hasattr(self, "world"):
            return
        assert list(verify(self.desk)) == []
        claims = list(read_claims(self.desk.database))
        for claim in claims:
            assert max(Counter(item.person_id for item in claim.news).values(), default=0) <= 1
            assert (claim.owner_kind == "person") == (claim.owner_id is not None)
            assert (claim.owner_kind == "several") == bool(claim.candidates)
        for parcel in models.Parcel.select().where(models.Parcel.state == "packing"):
            inside = [claim for claim in claims if claim.parcel_id == parcel.id]
            assert {claim.owner_id for claim in inside} <= {parcel.participant_id}
            assert {claim.state for claim in inside} <= {"in_hand", "pulled"}
        asks = {row.id for row in models.Ask.select().where(models.Ask.held == 1)}
        links = models.AskClaim.select()
        assert {claim.id for claim in claims if claim.ask_held} <= {
            link.claim_id for link in links if link.ask_id in asks
        }
        self.present_is_what_history_says()
        self.money_adds_up(claims)
        self.debts_end_apart(claims)
        self.nothing_is_listed_that_is_refused()
        self.every_decision_can_be_taken()

    def present_is_what_history_says(self: Any) -> None:
        now = self.world.now
        shown = viewing.today(self.desk)
        replayed, parties, day = self.replayed()
        parked = Parked(parked_as_of(self.desk.database, day))
        whole, waiting = parted(replayed)
        promises, reviews = promises_due(day), maker_marks.reviews(self.desk.database, day, in_the_past=True)
        assert shown.today == today_lists(whole, parties, now, parked, promises, waiting, reviews)
        assert viewing.owed(self.desk) == owed_list(replayed, parties, now)

    def replayed(self: Any) -> tuple[list[Any], Parties, date]:
        parties = read_parties(self.desk.database)
        now = self.world.now
        day = parties.house.today(now)
        days: dict[int | None, date] = {key: maker.today(now) for key, maker in parties.makers.items()}
        days[None] = NO_MAKER.today(now)
        past = past_of(self.desk.database, day, days)
        known = {key: past.person(person) for key, person in parties.people.items()}
        return past.claims, replace(parties, people=known), day

    def money_adds_up(self: Any, claims: list[Any]) -> None:
        owed = viewing.owed(self.desk)
        waiting = [claim for claim in claims if claim.state not in ("closed", "void")]
        assert sum(item.value.get("USD", 0) for item in owed) == sum(claim.value or 0 for claim in waiting)
        assert sum(item.no_value for item in owed) == sum(claim.value is None for claim in waiting)
        assert sum(len(item.claims) for item in owed) == len(waiting)

    def nothing_is_listed_that_is_refused(self: Any) -> None:
        lists = self.world.today()
        for item in lists.submit:
            self.can_be_done(lambda tag=item.claim.tag: submitting.submit(self.desk, submitting.Submit(tag=tag)))
        for maker in lists.ask:
            tags = [item.claim.tag for item in maker.claims]
            self.can_be_done(lambda tags=tags: asking.ask(self.desk, tags))
        for person in lists.tell:
            told = telling.telling_for(self.desk, person.person.id)
            key = person.person.id
            self.can_be_done(
                lambda told=told, key=key: telling.mark_told(self.desk, key, told.claim_ids, "chat", "Hi.")
            )
        for row in lists.ship:
            tags = [claim.tag for claim in row.claims if claim.parcel_id is None]
            if tags:
                self.can_be_done(lambda tags=tags: shipping.start_parcel(self.desk, tags))

    def can_be_done(self: Any, do: Callable[[], object]) -> None:
        with self.desk.database.atomic() as transaction:
            result = do()
            transaction.rollback()
        assert not isinstance(result, Problem), result

    def debts_end_apart(self: Any, claims: list[Any]) -> None:
        for claim in claims:
            if claim.settled_how and claim.in_hand_on is None and claim.state == "closed":
                # What the house owed had ended: only the maker's refusal, or an end of the house's own card, closes it.
                assert claim.refused_on is not None or claim.closed_how not in ENDING_THE_HOUSES_DEBT, claim
            if claim.state == "closed":
                assert claim.closed_how, claim
            if claim.closed_how in BAD_ENDS and claim.state == "closed":
                assert claim.fault in FAULTS, claim

    def every_decision_can_be_taken(self: Any) -> None:
        for item in self.world.today().decide:
            if item.claim is not None:
                tag = item.claim.tag
                self.one_can_be_done([partial(do, self.desk, tag) for do in DECISIONS], item)

    def one_can_be_done(self: Any, ways: list[Callable[[], object]], item: object) -> None:
        said = []
        for way in ways:
            with self.desk.database.atomic() as transaction:
                said.append(way())
                transaction.rollback()
            if not isinstance(said[-1], Problem):
                return
        raise AssertionError((item, said))
