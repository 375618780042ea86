"""When things fall due, sentence by sentence, in zones on both sides of the date line and across every kind of day."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.clocks import microseconds_of
from breakdesk.rules.days import add_months
from breakdesk.rules.office import is_business_day
from breakdesk.rules.parties import House, Maker, Person
from breakdesk.rules.story import fold
from breakdesk.rules.terms import HOUSE_DEFAULTS, MAKER_DEFAULTS, terms_from
from breakdesk.rules.zones import in_zone, local_day

RULE = settings(max_examples=150, deadline=None)
ZONES = st.sampled_from(
    ["America/Chicago", "Asia/Tokyo", "Pacific/Apia", "Pacific/Honolulu", "Pacific/Kiritimati", "Africa/Cairo",
     "America/Sao_Paulo", "Australia/Lord_Howe", "UTC"]
)  # fmt: skip
DAYS = st.dates(date(2023, 12, 25), date(2028, 3, 5)) | st.sampled_from([date(2024, 2, 29), date(2011, 12, 30)])
INSTANTS = st.datetimes(datetime(2023, 12, 1), datetime(2028, 3, 5), timezones=st.just(UTC))  # noqa: DTZ001
TICK = timedelta(microseconds=1)
DAY = timedelta(days=1)


def house_of(zone: str = "America/Chicago", **terms: str) -> House:
    """A house with these terms since always."""
    return House("The Corner", terms_from(HOUSE_DEFAULTS, [(k, v, None) for k, v in {"zone": zone, **terms}.items()]))


def maker_of(zone: str = "America/Chicago", **terms: str) -> Maker:
    """A maker with these terms since always."""
    return Maker(7, "Tern", terms_from(MAKER_DEFAULTS, [(k, v, None) for k, v in {"zone": zone, **terms}.items()]))


def claim_of(day: date, *events: tuple[int, str, dict[str, Any]], **pulled: Any) -> Claim:
    """A claim of participant 1 pulled on a day, with events so many days later."""
    body = {"tag": "T", "maker_id": 7, "owner_kind": "person", "owner_id": 1, **pulled}
    history = [Event("pulled", day, body), *(Event(kind, day + timedelta(n), said) for n, kind, said in events)]
    claim = fold(1, history)
    assert claim is not None
    return claim


def person_of(**facts: Any) -> Person:
    """Participant 1."""
    return Person(1, "Ada", **{"has_address": True, **facts})


class TestPullDay:
    @RULE
    @given(INSTANTS, st.timedeltas(timedelta(hours=-30), timedelta(hours=60)), ZONES)
    @example(datetime(2026, 3, 1, 2, tzinfo=UTC), timedelta(hours=24), "America/Chicago")
    def test_the_night(self, starts_at: datetime, wait: timedelta, zone: str) -> None:
        """ "the house's date of `starts_at` where the pull is at most 24 h later, else the pull's own" """
        within = timedelta(0) <= wait <= timedelta(hours=24)
        expected = local_day(starts_at if within else starts_at + wait, zone)
        assert clocks.pull_day(starts_at + wait, None, starts_at, house_of(zone)) == expected

    @RULE
    @given(DAYS, st.none() | INSTANTS)
    def test_a_bare_day_is_its_own(self, day: date, starts_at: datetime | None) -> None:
        assert clocks.pull_day(None, day, starts_at, house_of()) == day

    @RULE
    @given(INSTANTS, ZONES)
    def test_without_a_break_the_pulls_own(self, pulled_at: datetime, zone: str) -> None:
        assert clocks.pull_day(pulled_at, None, None, house_of(zone)) == local_day(pulled_at, zone)

    def test_a_pull_has_a_day(self) -> None:
        with pytest.raises(ValueError, match="day or an instant"):
            clocks.pull_day(None, None, None, house_of())


class TestSubmitBy:
    @RULE
    @given(DAYS, st.integers(0, 60), st.none() | st.integers(0, 90), ZONES, ZONES)
    @example(date(2011, 12, 29), 1, None, "Pacific/Apia", "Pacific/Apia")
    def test_the_earlier_of_the_two_ends(self, day: date, within: int, left: int | None, here: str, there: str) -> None:
        """ "the earlier of the end of the day (pull day + n) in the house's zone and the end of `expires_on` in the
        maker's" """
        expires = None if left is None else day + timedelta(days=left)
        claim = claim_of(day, **({"expires_on": expires.isoformat()} if expires else {}))
        due = clocks.submit_by(claim, house_of(here, submit_within_days=str(within)), maker_of(there))
        assert due is not None
        last_days = [(day + timedelta(days=within), here), *([(expires, there)] if expires else [])]
        # The end is the first instant after the day: then the day is over, the moment before it is not.
        assert any(local_day(due, zone) > last for last, zone in last_days)
        assert all(local_day(due - TICK, zone) <= last for last, zone in last_days)

    @RULE
    @given(INSTANTS, st.integers(-3, 3), ZONES, ZONES)
    def test_expired_at_the_pull(self, pulled_at: datetime, left: int, here: str, there: str) -> None:
        """ "`expires_on` < the maker's date at the pull" and then "Null only after a card expired at the pull" """
        house, maker = house_of(here), maker_of(there)
        day = local_day(pulled_at, here)
        expires = local_day(pulled_at, there) + timedelta(days=left)
        claim = claim_of(day, expires_on=expires.isoformat(), pulled_at=microseconds_of(pulled_at))
        assert clocks.expired_at_pull(claim, maker) == (left < 0)
        assert (clocks.submit_by(claim, house, maker) is None) == (left < 0)

    @RULE
    @given(DAYS, st.integers(-3, 3), ZONES)
    def test_of_a_bare_day_that_day_is_compared(self, day: date, left: int, there: str) -> None:
        claim = claim_of(day, expires_on=(day + timedelta(days=left)).isoformat())
        assert clocks.expired_at_pull(claim, maker_of(there)) == (left < 0)

    @RULE
    @given(DAYS, ZONES)
    def test_expired_from_the_end_of_the_day_on(self, day: date, there: str) -> None:
        """ "Expired: now >= end of `expires_on`" """
        claim, maker = claim_of(day, expires_on=day.isoformat()), maker_of(there)
        end = clocks.expiry_end(claim, maker)
        assert end is not None
        assert clocks.is_expired(claim, maker, end)
        assert not clocks.is_expired(claim, maker, end - TICK)
        assert in_zone(end, there).date() > day

    def test_the_term_of_the_pull_day_counts(self) -> None:
        rows = [("submit_within_days", "3", None), ("submit_within_days", "1", date(2026, 1, 6))]
        house = House("H", terms_from(HOUSE_DEFAULTS, rows))
        before, after = claim_of(date(2026, 1, 5)), claim_of(date(2026, 1, 6))
        assert [clocks.submit_by(claim, house, maker_of()) for claim in (before, after)] == [
            datetime(2026, 1, 9, 6, tzinfo=UTC),
            datetime(2026, 1, 8, 6, tzinfo=UTC),
        ]


class TestAskFrom:
    @RULE
    @given(
        DAYS, st.integers(0, 18), st.none() | st.integers(0, 500), st.integers(0, 90), st.none() | st.integers(1, 90)
    )
    @example(date(2024, 2, 29), 12, None, 30, None)
    @example(date(2023, 10, 31), 4, None, 30, None)
    def test_months_then_days(self, day: date, months: int, asked: int | None, every: int, said: int | None) -> None:
        """ "`submitted_on` + months, as dates; after an ask, the later of that and last ask + days (at least 1) … An
        answer's days replace the maker's for that claim" """
        maker = maker_of("Asia/Tokyo", ask_after_months=str(months), ask_every_days=str(every))
        events: list[tuple[int, str, dict[str, Any]]] = [(0, "submitted", {})]
        if asked is not None:
            events.append((asked, "asked", {}))
            if said is not None:
                events.append((asked + 1, "answered", {"answer": "no_news", "days": said}))
        first = add_months(day, months)
        expected = first
        if asked is not None:
            expected = max(first, day + timedelta(days=asked + max(1, every if said is None else said)))
        assert clocks.ask_from(claim_of(day, *events), maker) == expected

    @pytest.mark.parametrize(
        "later", [[], [(1, "submitted", {}), (2, "in_hand", {})], [(1, "submitted", {}), (2, "refused", {})]]
    )
    def test_only_submitted_claims(self, later: list[tuple[int, str, dict[str, Any]]]) -> None:
        assert clocks.ask_from(claim_of(date(2026, 1, 5), *later), maker_of()) is None

    def test_terms_of_the_day_from_which_it_counts(self) -> None:
        rows = [("ask_after_months", "6", date(2026, 2, 1)), ("ask_every_days", "90", date(2026, 2, 1))]
        maker = Maker(7, "Tern", terms_from(MAKER_DEFAULTS, rows))
        old = claim_of(date(2026, 1, 31), (0, "submitted", {}))
        assert clocks.ask_from(old, maker) == date(2026, 5, 31)
        assert clocks.ask_from(claim_of(date(2026, 2, 1), (0, "submitted", {})), maker) == date(2026, 8, 1)
        asked = claim_of(date(2026, 1, 31), (0, "submitted", {}), (121, "asked", {}))
        assert clocks.ask_from(asked, maker) == date(2026, 6, 1) + timedelta(days=90)

    @RULE
    @given(DAYS)
    def test_no_reply_after_five_business_days(self, day: date) -> None:
        maker = Maker(7, "Tern", closed_days=frozenset({date(2026, 7, 3), date(2024, 2, 29)}))
        claim = claim_of(day, (0, "submitted", {}), (0, "asked", {}))
        silent = clocks.no_reply_from(claim, house_of(), maker)
        assert silent is not None
        office = maker.office_on(day)
        assert is_business_day(office, silent)
        assert sum(is_business_day(office, day + timedelta(days=n)) for n in range(1, (silent - day).days + 1)) == 5
        answered = claim_of(day, (0, "submitted", {}), (0, "asked", {}), (1, "answered", {"answer": "no_news"}))
        assert clocks.no_reply_from(answered, house_of(), maker) is None


class TestNews:
    @RULE
    @given(
        st.lists(st.tuples(st.integers(0, 30), st.booleans()), min_size=1, max_size=6),
        st.integers(0, 9),
        st.integers(0, 9),
    )
    def test_due_is_the_earliest_of_all_that_is_untold(
        self, told: list[tuple[int, bool]], urgent: int, routine: int
    ) -> None:
        """ "due is the earliest due day among all its untold ones (urgent day + 1, routine day + 3, as set)" """
        day = date(2026, 1, 5)
        house = house_of(tell_urgent_within_days=str(urgent), tell_routine_within_days=str(routine))
        events = [(n, "in_hand" if burning else "noted", {"news": 1}) for n, burning in told]
        (news,) = claim_of(day, *events, quiet=1).news
        expected = min(day + timedelta(days=n + (urgent if burning else routine)) for n, burning in told)
        assert clocks.news_due(news, house) == expected
        assert news.since == day + timedelta(days=max(n for n, _ in told))

    def test_with_terms_shortened_meanwhile_the_newer_may_fall_due_first(self) -> None:
        day = date(2026, 1, 5)
        rows = [("tell_routine_within_days", "9", None), ("tell_routine_within_days", "1", day + timedelta(days=2))]
        house = House("H", terms_from(HOUSE_DEFAULTS, rows))
        (news,) = claim_of(day, (2, "submitted", {})).news
        assert clocks.news_due(news, house) == day + timedelta(days=3)


class TestSilence:
    @RULE
    @given(st.none() | DAYS, st.none() | DAYS)
    def test_from_the_latest_telling_else_the_oldest_submission(self, told: date | None, oldest: date | None) -> None:
        due = clocks.silence_due(told, oldest, house_of(update_every_days="45"))
        assert due == (None if oldest is None else (told or oldest) + timedelta(days=45))


class TestReminders:
    @RULE
    @given(DAYS, st.none() | st.integers(0, 60))
    def test_offers(self, day: date, left: int | None) -> None:
        """ "half way to the maker's reply-by, two days before, the last day" "An offer without reply-by gets 14 days.
        Half way rounds down; equal days count once." """
        body = {} if left is None else {"reply_by": (day + timedelta(days=left)).isoformat()}
        span = 14 if left is None else left
        expected = sorted({n for n in (span // 2, span - 2, span) if n >= 0})
        events: list[tuple[int, str, dict[str, Any]]] = [(0, "submitted", {}), (0, "offered", body)]
        found = []
        while True:
            reminder = clocks.reminder(claim_of(day, *events), person_of(), house_of())
            assert reminder is not None
            assert reminder.word == "offered"
            if reminder.due is None:
                break
            found.append((reminder.due - day).days)
            events.append((found[-1], "told", {"person": 1}))
        assert found == expected
        assert reminder.unanswered_from == day + timedelta(days=expected[-1] + 5)

    def test_a_later_telling_about_something_else_does_not_put_off_the_case(self) -> None:
        day = date(2026, 1, 5)
        events = [(0, "submitted", {}), (0, "offered", {}), (14, "told", {"person": 1}), (17, "told", {"person": 1})]
        reminder = clocks.reminder(claim_of(day, *events), person_of(), house_of())
        assert reminder == clocks.Reminder("offered", None, day + timedelta(days=19))

    @RULE
    @given(DAYS, st.lists(st.integers(0, 8), max_size=3))
    def test_addresses_every_five_days(self, day: date, late: list[int]) -> None:
        """ "Addresses: every 5 days until confirmed"; "third one unanswered + 5 days: decide, `not_answering`" """
        events: list[tuple[int, str, dict[str, Any]]] = [
            (0, "submitted", {}),
            (0, "in_hand", {}),
            (0, "told", {"person": 1}),
        ]
        due = day + timedelta(days=5)
        for wait in late:
            reminder = clocks.reminder(claim_of(day, *events), person_of(), house_of())
            assert reminder == clocks.Reminder("address", due, None)
            events.append(((due - day).days + wait, "told", {"person": 1}))
            due += timedelta(days=wait + 5)
        reminder = clocks.reminder(claim_of(day, *events), person_of(), house_of())
        assert reminder == (
            clocks.Reminder("address", None, due) if len(late) == 3 else clocks.Reminder("address", due, None)
        )

    def test_none_while_the_address_is_confirmed(self) -> None:
        day = date(2026, 1, 5)
        claim = claim_of(day, (0, "submitted", {}), (0, "in_hand", {}))
        fresh = person_of(address_confirmed_on=day)
        assert clocks.reminder(claim, fresh, house_of()) == clocks.Reminder("address", day + timedelta(days=91), None)

    @pytest.mark.parametrize(
        ("home", "there", "days"),
        [("US", "US", 10), ("us", "US", 10), ("US", "CA", 25), ("", "CA", 10), ("US", "", 10)],
    )
    def test_deliveries(self, home: str, there: str, days: int) -> None:
        """ "did it arrive?" 10 days after shipping, 25 abroad"""
        day = date(2026, 1, 5)
        claim = claim_of(day, (0, "submitted", {}), (1, "in_hand", {}), (2, "shipped", {}))
        reminder = clocks.reminder(claim, person_of(address_country=there), house_of(country=home))
        assert reminder == clocks.Reminder("delivery", day + timedelta(days=2 + days), None)
        lost = claim_of(day, (0, "submitted", {}), (1, "in_hand", {}), (2, "shipped", {}), (3, "lost", {"how": "lost"}))
        assert clocks.reminder(lost, person_of(), house_of()) is None


@RULE
@given(INSTANTS)
def test_microseconds_are_the_instant(instant: datetime) -> None:
    assert clocks.instant_of(microseconds_of(instant)) == instant


@pytest.mark.parametrize(
    ("facts", "left"),
    [
        ({}, 1),
        ({"expires_on": None}, None),
        ({"plan": "give"}, 1),
        ({"plan": "give", "state": "shipped"}, 1),
        ({"plan": "give", "state": "closed"}, None),
        ({"state": "submitted"}, None),
        ({"state": "shipped"}, None),
    ],
)
def test_a_claim_card_is_counted_down_until_it_was_sent_in_or_its_participant_has_it(
    facts: dict[str, Any], left: int | None
) -> None:
    day = date(2026, 3, 10)
    given = {"expires_on": day, "pull_day": date(2026, 3, 1), "last_event_on": date(2026, 3, 1), **facts}
    claim = Claim(id=1, tag="T", **given)
    # 16:00 in UTC on the 8th is the 9th in Tokyo already.
    now = datetime(2026, 3, 8, 16, tzinfo=UTC)
    assert clocks.days_to_expiry(claim, maker_of("Asia/Tokyo"), now) == left
    if left is not None:
        assert clocks.days_to_expiry(claim, maker_of("America/Chicago"), now) == left + 1
