"""A claim is what its history says: states, the two debts, news, and what is taken back."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.claim import ENDING_ALL_NEWS, ENDING_THE_HOUSES_DEBT, Claim, Event
from breakdesk.rules.events.effects import EFFECTS
from breakdesk.rules.story import active, fold

RULE = settings(max_examples=150, deadline=None)
START = date(2026, 1, 5)
ADA, BO = 1, 2


def on(offset: int, kind: str, action: int = 0, **body: Any) -> Event:
    """Something that happens some days after the start."""
    return Event(kind, START + timedelta(days=offset), body, action)


def pulled(owner: int | None = ADA, action: int = 0, **body: Any) -> Event:
    """The pull on the first day."""
    said = {"tag": "T1", "maker_id": 7, "owner_kind": "person" if owner else "house"} | (
        {"owner_id": owner} if owner else {}
    )
    return on(0, "pulled", action, **{**said, **body})


def claim_of(*events: Event, until: int | None = None, **more: Any) -> Claim:
    """The claim that a history leaves."""
    claim = fold(1, events, None if until is None else START + timedelta(days=until), **more)
    assert claim is not None
    return claim


def words(claim: Claim) -> dict[int, str]:
    """The word of the news for each participant."""
    return {news.person_id: news.word for news in claim.news}


class TestStates:
    def test_from_the_pull_to_the_participants_hands(self) -> None:
        history = [pulled()]
        assert claim_of(*history).state == "pulled"
        for offset, kind, state in (
            (1, "submitted", "submitted"),
            (5, "offered", "offered"),
            (6, "offer_passed_on", "submitted"),
            (9, "in_hand", "in_hand"),
            (10, "shipped", "shipped"),
        ):
            history.append(on(offset, kind))
            assert claim_of(*history).state == state
        closed = claim_of(*history, on(12, "closed", how="delivered"))
        assert (closed.state, closed.closed_how, closed.closed_on) == ("closed", "delivered", START + timedelta(12))
        assert not closed.is_open

    @pytest.mark.parametrize("how", ENDING_THE_HOUSES_DEBT)
    def test_ended_before_the_card_came_the_house_owns_it(self, how: str) -> None:
        """ "`closed_how` of refunded, credited, replaced or bought_out dated before `in_hand_on`, or with none, makes
        the house the owner and leaves the state" """
        claim = claim_of(
            pulled(), on(1, "submitted"), on(4, "closed", how=how, amount=500, currency="USD", fault="maker")
        )
        assert (claim.state, claim.owner_kind, claim.owner_id) == ("submitted", "house", None)
        assert (claim.settled_how, claim.settled_amount, claim.settled_currency) == (how, 500, "USD")
        assert claim.fault == "maker"
        assert claim.closed_on is None
        arrived = claim_of(pulled(), on(1, "submitted"), on(4, "closed", how=how), on(8, "in_hand"))
        assert (arrived.state, arrived.owner_kind) == ("in_hand", "house")
        assert words(arrived) == {ADA: how}

    @pytest.mark.parametrize("how", ENDING_THE_HOUSES_DEBT)
    def test_ended_with_the_card_here_it_is_closed(self, how: str) -> None:
        claim = claim_of(pulled(), on(1, "submitted"), on(4, "in_hand"), on(4, "closed", how=how))
        assert (claim.state, claim.owner_id, claim.closed_how) == ("closed", ADA, how)

    @pytest.mark.parametrize("refused_first", [True, False])
    def test_with_a_refusal_both_debts_are_over(self, refused_first: bool) -> None:
        ends = [on(4, "refused"), on(5, "closed", how="refunded", amount=900, currency="USD")]
        if not refused_first:
            ends = [on(4, "closed", how="refunded", amount=900, currency="USD"), on(5, "refused")]
        claim = claim_of(pulled(), on(1, "submitted"), *ends)
        assert (claim.state, claim.closed_how, claim.closed_amount) == ("closed", "refunded", 900)
        assert claim.closed_on == START + timedelta(days=5)

    def test_a_card_given_on_after_the_refund_is_owed_again(self) -> None:
        history = (
            pulled(),
            on(1, "submitted"),
            on(3, "closed", how="refunded"),
            on(4, "owner", owner_kind="person", owner_id=BO),
            on(5, "refused"),
        )
        assert claim_of(*history).state == "refused"
        assert words(claim_of(*history))[BO] == "refused"

    def test_failures(self) -> None:
        waits = claim_of(pulled(), on(1, "submit_failed", how="already_used"))
        assert (waits.state, waits.failed_on, waits.failed_how) == ("pulled", START + timedelta(1), "already_used")
        stays = claim_of(pulled(), on(1, "submit_failed", how="site_down"))
        assert (stays.failed_on, stays.failed_how) == (None, "site_down")
        again = claim_of(pulled(), on(1, "submit_failed", how="invalid"), on(2, "submitted"))
        assert (again.failed_on, again.failed_how, again.state) == (None, None, "submitted")

    def test_a_claim_card_that_comes_back_is_no_card(self) -> None:
        claim = claim_of(
            pulled(plan="give"), on(1, "packed", parcel=4), on(1, "shipped"), on(9, "lost", how="returned"),
            on(12, "in_hand", again=1),
        )  # fmt: skip
        assert (claim.state, claim.in_hand_on, claim.parcel_id, claim.lost_on) == ("pulled", None, None, None)

    def test_a_card_that_comes_back_is_in_hand(self) -> None:
        claim = claim_of(
            pulled(), on(1, "submitted"), on(2, "in_hand"), on(3, "packed", parcel=4), on(3, "shipped"),
            on(9, "lost", how="lost"), on(12, "in_hand", again=1),
        )  # fmt: skip
        assert (claim.state, claim.parcel_id, claim.lost_on) == ("in_hand", None, None)

    @pytest.mark.parametrize(
        "leaving",
        [
            on(4, "owner", owner_kind="person", owner_id=BO),
            on(4, "void"),
            on(4, "closed", how="refunded"),
            on(4, "closed", how="unclaimed"),
        ],
        ids=lambda event: event.kind + event.body.get("how", ""),
    )
    def test_a_card_that_is_not_for_its_parcel_any_more_comes_out(self, leaving: Event) -> None:
        history = (pulled(), on(1, "submitted"), on(2, "in_hand"), on(3, "packed", parcel=4))
        assert claim_of(*history).parcel_id == 4
        assert claim_of(*history, leaving).parcel_id is None


class TestNews:
    """ "each event of pulled, submitted, offered, refused, in_hand, shipped and each entry marked as news is news until
    a telling that covers it. Shown is the newest" """

    def test_every_kind(self) -> None:
        history = [pulled()]
        assert words(claim_of(*history)) == {ADA: "pulled"}
        for kind in ("submitted", "offered", "in_hand", "shipped", "refused"):
            history.append(on(1, kind))
            assert words(claim_of(*history)) == {ADA: kind}
        assert words(claim_of(*history, on(2, "noted"))) == {ADA: "refused"}
        assert words(claim_of(*history, on(2, "noted", news=1))) == {ADA: "noted"}
        for silent in ("asked", "looked", "code_entered", "packed", "held", "follow_up"):
            said = {"on": "2026-02-02"} if silent == "follow_up" else {}
            assert words(claim_of(*history, on(2, silent, **said))) == {ADA: "refused"}

    @RULE
    @given(st.lists(st.sampled_from(["submitted", "offered", "in_hand", "shipped", "told"]), max_size=8))
    def test_the_newest_untold_is_shown_and_the_days_of_all_are_kept(self, kinds: list[str]) -> None:
        history = [
            pulled(),
            *(
                on(place, kind, **({"person": ADA} if kind == "told" else {}))
                for place, kind in enumerate(kinds, start=1)
            ),
        ]
        untold: list[Event] = []
        for event in history:
            untold = [] if event.kind == "told" else [*untold, event]
        news = claim_of(*history).news
        if not untold:
            assert news == ()
            return
        (item,) = news
        urgent = [event.day for event in untold if event.kind in ("offered", "in_hand", "shipped")]
        routine = [event.day for event in untold if event.kind not in ("offered", "in_hand", "shipped")]
        assert (item.word, item.since) == (untold[-1].kind, untold[-1].day)
        assert (item.urgent_days, item.routine_days) == (tuple(urgent), tuple(routine))

    @pytest.mark.parametrize("how", ENDING_ALL_NEWS)
    def test_delivered_given_and_kept_end_it(self, how: str) -> None:
        assert words(claim_of(pulled(), on(1, "closed", how=how))) == {}

    def test_void_ends_it(self) -> None:
        assert words(claim_of(pulled(), on(1, "void"))) == {}

    @pytest.mark.parametrize("how", ["terms", "unclaimed"])
    def test_other_ends_leave_what_is_untold(self, how: str) -> None:
        assert words(claim_of(pulled(), on(1, "submitted"), on(2, "closed", how=how))) == {ADA: "submitted"}

    def test_a_change_of_owner_is_news_to_both(self) -> None:
        """ "News belongs to the owner at the time; a change of owner is news to the old owner and to the new one" """
        changed = (pulled(), on(1, "submitted"), on(2, "owner", owner_kind="person", owner_id=BO))
        claim = claim_of(*changed)
        assert words(claim) == {ADA: "owner", BO: "owner"}
        (ada,) = (news for news in claim.news if news.person_id == ADA)
        assert ada.routine_days == (START, START + timedelta(days=1), START + timedelta(days=2))
        assert words(claim_of(*changed, on(3, "in_hand"))) == {ADA: "owner", BO: "in_hand"}
        assert words(claim_of(*changed, on(3, "told", person=ADA))) == {BO: "owner"}

    def test_unless_the_new_one_is_the_house(self) -> None:
        assert words(claim_of(pulled(), on(2, "owner", owner_kind="house"))) == {ADA: "owner"}

    def test_the_old_owner_hears_the_closing_word(self) -> None:
        claim = claim_of(pulled(), on(1, "submitted"), on(2, "closed", how="bought_out"))
        assert words(claim) == {ADA: "bought_out"}
        later = (
            pulled(),
            on(1, "submitted"),
            on(2, "closed", how="refunded"),
            on(3, "told", person=ADA),
            on(4, "in_hand"),
        )
        assert words(claim_of(*later)) == {}

    def test_the_house_is_never_told(self) -> None:
        assert words(claim_of(pulled(None), on(1, "submitted"), on(2, "in_hand"))) == {}

    def test_reminders_count_the_present_owners_tellings_alone(self) -> None:
        history = (
            pulled(), on(1, "submitted"), on(2, "in_hand"), on(3, "told", person=ADA),
            on(4, "owner", owner_kind="person", owner_id=BO), on(5, "told", person=ADA), on(6, "told", person=BO),
        )  # fmt: skip
        assert claim_of(*history).phase_told == (START + timedelta(days=6),)


class TestAnswers:
    def test_an_ask_wipes_the_answer_before_it(self) -> None:
        claim = claim_of(pulled(), on(1, "submitted"), on(2, "asked"), on(3, "answered", answer="no_news", days=45))
        assert (claim.answer, claim.answer_days) == ("no_news", 45)
        claim = claim_of(
            pulled(), on(1, "submitted"), on(2, "asked"), on(3, "answered", answer="no_news", days=45), on(9, "asked")
        )
        assert (claim.answer, claim.answer_days, claim.last_asked_on) == (None, None, START + timedelta(days=9))

    def test_an_answer_on_the_houses_day_of_an_ask_dated_tomorrow_counts(self) -> None:
        """The maker may be a day ahead: the house's day says that the answer came after the ask."""
        ask = on(3, "asked", house_day=(START + timedelta(days=2)).isoformat())
        claim = claim_of(pulled(), on(1, "submitted"), ask, on(2, "answered", answer="being_made", days=30))
        assert (claim.answer, claim.last_asked_on) == ("being_made", START + timedelta(days=3))
        assert claim.last_event_on == START + timedelta(days=2)

    def test_an_offer_is_an_answer(self) -> None:
        claim = claim_of(pulled(), on(1, "submitted"), on(2, "asked"), on(3, "offered"), on(4, "offer_passed_on"))
        assert (claim.state, claim.answer) == ("submitted", "offers")


class TestAsOf:
    """ "facts dated after it are left out, by the day they happened" """

    @RULE
    @given(st.lists(st.tuples(st.integers(0, 9), st.sampled_from(["submitted", "in_hand", "noted"])), max_size=8),
           st.integers(0, 9))  # fmt: skip
    def test_as_if_later_facts_were_never_recorded(self, facts: list[tuple[int, str]], until: int) -> None:
        history = [pulled(), *(on(offset, kind) for offset, kind in facts)]
        known = [event for event in history if event.day <= START + timedelta(days=until)]
        assert claim_of(*history, until=until) == claim_of(*known)

    def test_before_the_pull_there_is_nothing(self) -> None:
        assert fold(1, [pulled(), on(0, "asked")], START - timedelta(days=1)) is None

    def test_an_ask_counts_by_the_makers_date(self) -> None:
        history = (pulled(), on(1, "submitted"), on(5, "asked"))
        ahead, behind = {7: START + timedelta(days=5)}, {7: START + timedelta(days=3)}
        assert claim_of(*history, until=4).last_asked_on is None
        assert claim_of(*history, until=4, makers_until=ahead).last_asked_on == START + timedelta(days=5)
        assert claim_of(*history, until=5, makers_until=behind).last_asked_on is None

    def test_entries_of_one_day_keep_the_order_in_which_they_were_recorded(self) -> None:
        assert claim_of(pulled(), on(1, "in_hand"), on(1, "submitted")).state == "submitted"
        assert claim_of(on(0, "noted"), pulled()).state == "pulled"


class TestTakingBack:
    def test_an_undone_event_is_left_out_and_an_undone_undo_brings_it_back(self) -> None:
        history = [pulled(action=1), on(1, "submitted", 2), Event("undone", START, {"action": 2}, 3)]
        assert claim_of(*history).state == "pulled"
        history.append(Event("undone", START, {"action": 3}, 4))
        assert claim_of(*history).state == "submitted"
        history.append(Event("undone", START, {"action": 4}, 5))
        assert claim_of(*history).state == "pulled"

    def test_a_claim_whose_pull_is_undone_is_void_without_news(self) -> None:
        claim = claim_of(pulled(action=1), Event("undone", START, {"action": 1}, 2))
        assert (claim.state, claim.news, claim.tag) == ("void", (), "T1")

    @RULE
    @given(st.integers(0, 6))
    def test_a_chain_of_undos_alternates(self, length: int) -> None:
        history = [pulled(action=1), on(1, "submitted", 2)]
        history += [Event("undone", START, {"action": 2 + step}, 3 + step) for step in range(length)]
        assert claim_of(*history).state == ("pulled" if length % 2 else "submitted")
        assert all(event.kind != "undone" for event in active(history))


def test_every_kind_of_event_can_be_told() -> None:
    bodies: dict[str, dict[str, Any]] = {
        "chosen": {"choice": "try"}, "submit_failed": {"how": "invalid"}, "answered": {"answer": "no_news"},
        "offer_answered": {"answer": "take"}, "lost": {"how": "lost"}, "closed": {"how": "terms"},
        "owner": {"owner_kind": "house"}, "follow_up": {"on": "2026-03-01"},
        "same_person": {"from": ADA, "to": BO, "places": ["owner"]},
    }  # fmt: skip
    for kind in EFFECTS:
        event = pulled() if kind == "pulled" else on(1, kind, **bodies.get(kind, {}))
        assert isinstance(claim_of(pulled(), on(0, "submitted"), event), Claim)
