"""The five lists, sentence by sentence: what is in each, in which order, and what is in none."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.clocks import microseconds_of
from breakdesk.rules.parties import House, Maker, Parties, Person
from breakdesk.rules.rounds.decide import decide_from, is_late_to_make_good
from breakdesk.rules.rounds.items import Parked, Promise, Today
from breakdesk.rules.rounds.today import today_lists
from breakdesk.rules.story import fold
from breakdesk.rules.terms import HOUSE_DEFAULTS, MAKER_DEFAULTS, terms_from

DAY = date(2026, 3, 2)
NOON = datetime(2026, 3, 2, 18, tzinfo=UTC)
"""Monday noon in Chicago, where the house and the first maker are; Tuesday 03:00 in Tokyo."""
ADA, BO, CY = 1, 2, 3
CHICAGO, TOKYO = 7, 8
Happened = tuple[int, str, dict[str, Any]]


def at(days: int) -> datetime:
    """Noon so many days later."""
    return NOON + timedelta(days=days)


def claim_of(tag: str, *events: Happened, owner: int | None = ADA, key: int = 0, **pulled: Any) -> Claim:
    """A claim pulled on the day, with what happened so many days later."""
    body = {"tag": tag, "maker_id": CHICAGO, "owner_kind": "person" if owner else "house", **pulled}
    if owner:
        body["owner_id"] = owner
    history = [Event("pulled", DAY, body), *(Event(kind, DAY + timedelta(n), said) for n, kind, said in events)]
    claim = fold(key or sum(map(ord, tag)), history)
    assert claim is not None
    return claim


def parties_of(*, people: dict[int, dict[str, Any]] | None = None, **terms: str) -> Parties:
    """The house, two makers and three participants."""
    given = people or {}
    names = {ADA: "Ada Fenn", BO: "bo larch", CY: "Émile Wold"}
    makers = {
        CHICAGO: Maker(CHICAGO, "Tern Cards", terms_from(MAKER_DEFAULTS, [("ask_after_months", "0", None)])),
        TOKYO: Maker(
            TOKYO,
            "Akari Press",
            terms_from(MAKER_DEFAULTS, [("zone", "Asia/Tokyo", None), ("ask_after_months", "0", None)]),
        ),
    }
    return Parties(
        house=House("The Corner", terms_from(HOUSE_DEFAULTS, [(name, value, None) for name, value in terms.items()])),
        makers=makers,
        people={key: Person(key, name, **{"has_address": True, **given.get(key, {})}) for key, name in names.items()},
    )


def lists(claims: Iterable[Claim], now: datetime = NOON, parties: Parties | None = None, **more: Any) -> Today:
    """The five lists."""
    return today_lists(claims, parties or parties_of(), now, **more)


def reasons(today: Today) -> list[tuple[str, str, int]]:
    """Tag, reason and since how many days after the start."""
    return [(item.claim.tag if item.claim else "", item.why, (item.since - DAY).days) for item in today.decide]


SUBMITTED: Happened = (0, "submitted", {})


class TestSubmit:
    def test_pulled_claims_with_plan_submit(self) -> None:
        claims = [claim_of("A"), claim_of("B", plan="give"), claim_of("C", SUBMITTED), claim_of("D", (0, "void", {}))]
        assert [item.claim.tag for item in lists(claims).submit] == ["A"]

    def test_not_in_decide_as_expired_or_failed(self) -> None:
        """ "not in decide as `expired_at_pull` or `failed_submission` (other reasons leave a claim in both)" """
        gone = {"expires_on": (DAY - timedelta(days=1)).isoformat()}
        claims = [
            claim_of("A", **gone),
            claim_of("B", (0, "chosen", {"choice": "try"}), **gone),
            claim_of("C", (0, "chosen", {"choice": "ask"}), **gone),
            claim_of("D", (0, "submit_failed", {"how": "invalid"})),
            claim_of("E", (0, "submit_failed", {"how": "site_down"})),
            claim_of("F", owner=None, owner_kind="several", candidates=[ADA, BO]),
            claim_of("G", (0, "follow_up", {"on": DAY.isoformat()})),
        ]
        today = lists(claims)
        assert {item.claim.tag for item in today.submit} == {"B", "E", "F", "G"}
        assert [(tag, why) for tag, why, _ in sorted(reasons(today))] == [
            ("A", "expired_at_pull"), ("C", "expired_at_pull"), ("D", "failed_submission"), ("F", "owner"),
            ("G", "follow_up"),
        ]  # fmt: skip
        assert {item.claim.tag: item.submit_by for item in today.submit}["B"] is None

    def test_order(self) -> None:
        """ "seen on camera first, then soonest `submit_by`, null last" """
        tried: Happened = (0, "chosen", {"choice": "try"})
        claims = [
            claim_of("A", tried, expires_on=(DAY - timedelta(days=9)).isoformat()),
            claim_of("B"),
            claim_of("C", expires_on=DAY.isoformat()),
            claim_of("E"),
            claim_of("D", seen_on_camera=1),
        ]
        assert [item.claim.tag for item in lists(claims).submit] == ["D", "C", "B", "E", "A"]

    def test_a_card_that_expires_later_stays_as_expired(self) -> None:
        claim = claim_of("A", expires_on=(DAY + timedelta(days=1)).isoformat())
        assert [item.expired for item in lists([claim]).submit] == [False]
        assert [item.expired for item in lists([claim], at(2)).submit] == [True]


class TestAsk:
    def test_makers_with_a_claim_whose_day_has_come_there(self) -> None:
        """ "It has come when the maker's date >= ask from" """
        tomorrow = claim_of("A", (1, "submitted", {}), maker_id=TOKYO)
        assert [item.maker.id for item in lists([tomorrow]).ask] == [TOKYO]
        assert lists([claim_of("A", (1, "submitted", {}))]).ask == ()

    def test_open_or_else_the_next_opening(self) -> None:
        """ "Makers are listed while closed, too." "`opens_at` null while open, else the next opening" """
        tokyo, chicago = lists([claim_of("A", SUBMITTED, maker_id=TOKYO), claim_of("B", SUBMITTED)]).ask
        assert (tokyo.maker.name, tokyo.open_now) == ("Akari Press", False)
        assert tokyo.opens_at == datetime(2026, 3, 3, 0, tzinfo=UTC)
        assert (chicago.maker.name, chicago.open_now, chicago.opens_at) == ("Tern Cards", True, None)

    def test_only_submitted_claims_without_a_held_message(self) -> None:
        """ "Only claims in state `submitted`, the house's own included; a claim with a held message is not listed." """
        claims = [
            claim_of("A"), claim_of("B", SUBMITTED, (0, "offered", {})), claim_of("C", SUBMITTED, (0, "in_hand", {})),
            claim_of("D", SUBMITTED, (0, "ask_held", {})), claim_of("E", SUBMITTED, owner=None),
            claim_of("G", SUBMITTED),
        ]  # fmt: skip
        assert [[item.claim.tag for item in maker.claims] for maker in lists(claims).ask] == [["E", "G"]]

    def test_ages_from_the_submission(self) -> None:
        claim = claim_of("A", (3, "submitted", {}))
        (item,) = lists([claim], at(40)).ask[0].claims
        assert (item.age.days, item.age.months, item.band) == (37, 1, "31-60")

    def test_no_reply_is_a_follow_up_never_an_ask(self) -> None:
        claim = claim_of("A", SUBMITTED, (0, "asked", {}))
        assert reasons(lists([claim], at(6))) == []
        today = lists([claim], at(7))
        assert reasons(today) == [("A", "follow_up", 7)]
        assert today.ask == ()


class TestTell:
    def test_participants_whose_day_has_come_with_all_news_due_or_not(self) -> None:
        claims = [
            claim_of("A", SUBMITTED, (1, "in_hand", {})),
            claim_of("B", (0, "told", {"person": ADA}), (2, "submitted", {})),
            claim_of("C", SUBMITTED, (0, "told", {"person": ADA})),
            claim_of("D", SUBMITTED, owner=BO, quiet=1),
        ]
        (item,) = lists(claims, at(2)).tell
        assert (item.person.id, item.due_on) == (ADA, DAY + timedelta(days=2))
        assert [(line.claim.tag, line.news, (line.since - DAY).days) for line in item.items] == [
            ("A", "in_hand", 1),
            ("B", "submitted", 2),
            ("C", "waiting", 0),
        ]
        assert lists(claims, at(1)).tell == ()

    def test_urgent_after_one_day_routine_after_three(self) -> None:
        claim = claim_of("A")
        assert lists([claim], at(2)).tell == ()
        assert lists([claim], at(3)).tell[0].due_on == DAY + timedelta(days=3)

    def test_silence_even_with_no_news(self) -> None:
        claims = [claim_of("A", SUBMITTED, (0, "told", {"person": ADA}))]
        told = parties_of(people={ADA: {"last_told_on": DAY + timedelta(days=5)}})
        assert lists(claims, at(64), told).tell == ()
        (item,) = lists(claims, at(65), told).tell
        assert [(line.news, line.since) for line in item.items] == [("waiting", DAY)]
        # "never told: from the oldest submission"
        assert [person.due_on for person in lists(claims, at(60)).tell] == [DAY + timedelta(days=60)]

    def test_reminders_stand_with_their_due_day(self) -> None:
        claims = [
            claim_of("A", SUBMITTED, (0, "offered", {}), (0, "told", {"person": ADA})),
            claim_of("B", SUBMITTED, (0, "in_hand", {}), (0, "told", {"person": BO}), owner=BO),
            claim_of("C", SUBMITTED, (0, "in_hand", {}), (0, "shipped", {}), (0, "told", {"person": CY}), owner=CY),
        ]
        found = {
            item.person.id: [(line.news, (line.since - DAY).days) for line in item.items]
            for item in lists(claims, at(10)).tell
        }
        assert found == {ADA: [("offered", 7)], BO: [("address", 5)], CY: [("delivery", 10)]}

    def test_the_house_is_never_told(self) -> None:
        claims = [claim_of("A", SUBMITTED, (0, "offered", {}), owner=None), claim_of("B", SUBMITTED, owner=None)]
        assert lists(claims, at(99)).tell == ()

    def test_both_sides_of_a_transfer(self) -> None:
        claim = claim_of("A", SUBMITTED, (1, "owner", {"owner_kind": "person", "owner_id": BO}))
        found = [(item.person.id, [line.news for line in item.items]) for item in lists([claim], at(4)).tell]
        assert found == [(ADA, ["owner"]), (BO, ["owner"])]

    def test_the_hold_of_one_side_is_not_the_others(self) -> None:
        claim = claim_of("A", SUBMITTED, (1, "owner", {"owner_kind": "person", "owner_id": BO}))
        for held, told in ((BO, ADA), (ADA, BO)):
            parties = parties_of(people={held: {"on_hold": True}})
            assert [item.person.id for item in lists([claim], at(4), parties).tell] == [told]

    def test_order_by_name(self) -> None:
        claims = [claim_of("C", owner=CY), claim_of("B", owner=BO), claim_of("A", owner=ADA)]
        assert [item.person.id for item in lists(claims, at(3)).tell] == [ADA, BO, CY]


class TestShip:
    def test_cards_in_hand_and_claim_cards_to_give(self) -> None:
        claims = [
            claim_of("D", SUBMITTED, (0, "in_hand", {}), owner=BO), claim_of("A", SUBMITTED, (0, "in_hand", {})),
            claim_of("B", plan="give"), claim_of("C", SUBMITTED, (0, "in_hand", {}), owner=None),
            claim_of("E"), claim_of("F", SUBMITTED),
        ]  # fmt: skip
        parties = parties_of(people={ADA: {"address_confirmed_on": DAY - timedelta(days=90)}})
        found = [
            (item.person.id, item.address_confirmed, [claim.tag for claim in item.claims])
            for item in lists(claims, NOON, parties).ship
        ]
        assert found == [(ADA, True, ["A", "B"]), (BO, False, ["D"])]
        assert not lists(claims, at(1), parties).ship[0].address_confirmed


class TestDecide:
    @pytest.mark.parametrize(
        ("events", "expected"),
        [
            ([SUBMITTED, (4, "refused", {})], [("refused", 4)]),
            ([(2, "submit_failed", {"how": "card_missing"})], [("failed_submission", 2)]),
            ([SUBMITTED, (1, "in_hand", {}), (2, "shipped", {}), (9, "lost", {"how": "returned"})], [("lost", 9)]),
            ([(1, "follow_up", {"on": "2026-03-08"})], [("follow_up", 6)]),
            ([SUBMITTED, (1, "offered", {"reply_by": "2026-03-12"})], [("offer", 8)]),
            ([SUBMITTED, (1, "offered", {"reply_by": "2026-03-04"})], [("offer", 1)]),
            ([SUBMITTED, (1, "offered", {}), (3, "offer_answered", {"answer": "take"})], [("offer", 3)]),
            ([SUBMITTED, (1, "offered", {})], []),
        ],
    )
    def test_since_the_day_it_began_to_wait(self, events: list[Happened], expected: list[tuple[str, int]]) -> None:
        claim = claim_of("A", *events)
        assert [(why, since) for _, why, since in reasons(lists([claim], at(9)))] == expected

    def test_owner_where_there_are_several_never_nobody_yet(self) -> None:
        several = claim_of("A", owner=None, owner_kind="several", candidates=[ADA, BO])
        nobody = claim_of("B", owner=None, owner_kind="nobody")
        today = lists([several, nobody])
        assert reasons(today) == [("A", "owner", 0)]
        assert [item.participant for item in today.decide] == [None]

    def test_not_answering_after_the_third(self) -> None:
        told = [(n, "told", {"person": ADA}) for n in (5, 10, 15)]
        claim = claim_of("A", SUBMITTED, (0, "in_hand", {}), *told)
        assert reasons(lists([claim], at(19))) == []
        today = lists([claim], at(20))
        assert reasons(today) == [("A", "not_answering", 20)]
        assert today.tell == ()

    def test_the_house_by_its_name(self) -> None:
        claim = claim_of("A", SUBMITTED, (0, "refused", {}), owner=None)
        assert [item.participant for item in lists([claim]).decide] == ["The Corner"]

    def test_expired_at_the_pull_by_the_makers_date(self) -> None:
        claim = claim_of("A", maker_id=TOKYO, expires_on=DAY.isoformat(), pulled_at=microseconds_of(NOON))
        assert reasons(lists([claim])) == [("A", "expired_at_pull", 0)]

    def test_late_after_seven_days(self) -> None:
        claim = claim_of("A", SUBMITTED, (0, "refused", {}))
        house = parties_of().house
        late = [is_late_to_make_good(claim, house, DAY + timedelta(days=n)) for n in (0, 7, 8)]
        assert late == [False, False, True]

    def test_promises_to_people(self) -> None:
        promises = [Promise(4, BO, DAY), Promise(5, ADA, DAY + timedelta(days=1))]
        assert [(item.promise_id, item.participant) for item in lists([], promises=promises).decide] == [
            (4, "bo larch")
        ]

    def test_the_stored_day_is_the_first_on_which_it_is_listed(self) -> None:
        claims = [
            claim_of("A", SUBMITTED, (0, "offered", {})), claim_of("B", SUBMITTED, (0, "asked", {})),
            claim_of("C", (1, "follow_up", {"on": "2026-03-08"})), claim_of("D", SUBMITTED),
            claim_of("E", (0, "void", {})),
        ]  # fmt: skip
        for claim in claims:
            first = decide_from(claim, parties_of())
            listed = [n for n in range(60) if lists([claim], at(n)).decide]
            assert (first is None) == (not listed)
            if first is not None:
                assert DAY + timedelta(days=listed[0]) == first


class TestInNoList:
    """ "Parked and held items are in no list." """

    CLAIMS = (
        claim_of("A", key=11), claim_of("B", SUBMITTED, key=12), claim_of("C", SUBMITTED, (0, "in_hand", {}), key=13),
        claim_of("D", SUBMITTED, (0, "refused", {}), key=14),
    )  # fmt: skip

    def test_held(self) -> None:
        held = [claim_of(c.tag, *e, (0, "held", {})) for c, e in zip(self.CLAIMS, ((), (SUBMITTED,)), strict=False)]
        today = lists(held, at(99))
        assert (today.submit, today.ask, today.tell, today.ship, today.decide) == ((), (), (), (), ())

    def test_everything_of_a_held_participant(self) -> None:
        parties = parties_of(people={ADA: {"on_hold": True}})
        today = lists(self.CLAIMS, at(9), parties, promises=[Promise(1, ADA, DAY)])
        assert (today.submit, today.ask, today.tell, today.ship, today.decide) == ((), (), (), (), ())

    @pytest.mark.parametrize(
        ("name", "key"), [("submit", 11), ("ask", 12), ("tell", ADA), ("ship", ADA), ("decide", 14)]
    )
    def test_parked_is_missing_in_its_round_alone(self, name: str, key: int) -> None:
        whole, rest = lists(self.CLAIMS, at(9)), lists(self.CLAIMS, at(9), parked=Parked({(name, key)}))
        for round_name in ("submit", "ask", "tell", "ship", "decide"):
            assert getattr(whole, round_name)
            assert (getattr(whole, round_name) == getattr(rest, round_name)) == (round_name != name)
        assert getattr(rest, name) == ()
