"""What waited before a start line comes within its weeks, never sooner than it would have, and nothing else moves."""

from __future__ import annotations

from datetime import date, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.claim import Claim, News
from breakdesk.rules.clocks import ask_from, news_due, silence_due
from breakdesk.rules.parties import House, Maker
from breakdesk.rules.start_line import TERM, StartLine
from breakdesk.rules.terms import HOUSE_DEFAULTS, terms_from

RULE = settings(max_examples=150, deadline=None)
DRAWN = date(2026, 6, 15)
DAYS = st.dates(date(2025, 1, 1), date(2027, 12, 31))
WEEKS = st.integers(1, 26)
KEYS = st.integers(1, 100_000)


def house(weeks: int, *later: tuple[str, date]) -> House:
    rows = [(TERM, str(weeks), DRAWN), *((TERM, value, day) for value, day in later)]
    return House("The Corner", terms_from(HOUSE_DEFAULTS, rows))


def submitted(day: date, claim_id: int = 1) -> Claim:
    return Claim(id=claim_id, tag="T", state="submitted", pull_day=day, submitted_on=day, last_event_on=day)


@RULE
@given(DAYS, WEEKS, KEYS)
def test_an_ask_from_before_the_line_comes_within_its_weeks_or_when_it_would_have(day, weeks, key):
    line = StartLine(DRAWN, weeks)
    natural, moved = ask_from(submitted(day, key), Maker()), ask_from(submitted(day, key), Maker(), line)
    assert natural is not None
    assert moved is not None
    if day >= DRAWN:
        assert moved == natural
    else:
        assert moved >= natural
        assert moved == natural or DRAWN < moved <= line.last_day


@RULE
@given(DAYS, WEEKS, KEYS)
def test_silence_from_before_the_line_counts_the_same_way(day, weeks, key):
    natural = silence_due(day, day, House(), key)
    moved = silence_due(day, day, house(weeks), key)
    assert natural is not None
    assert moved is not None
    assert moved >= natural
    assert moved == natural or (day < DRAWN < moved <= DRAWN + timedelta(days=7 * weeks))


@RULE
@given(st.sampled_from(["pulled", "submitted", "shipped"]), DAYS, KEYS)
def test_old_news_waits_and_new_news_does_not(word, day, key):
    urgent = word == "shipped"
    news = News(word, day, key, urgent, (day,) if urgent else (), () if urgent else (day,))
    due = news_due(news, house(4))
    assert due > DRAWN if day < DRAWN else due == news_due(news, House())


@RULE
@given(st.sampled_from(["offered", "refused", "in_hand"]), DAYS, KEYS)
def test_what_presses_stays_where_it_is(word, day, key):
    news = News(word, day, key, True, (day,), ())
    assert news_due(news, house(4)) == news_due(news, House())


def test_people_are_spread_evenly_over_the_days():
    line = StartLine(DRAWN, 4)
    days = [line.for_person(date(2026, 1, 1), date(2026, 2, 1), person_id) for person_id in range(1, 281)]
    assert {days.count(day) for day in set(days)} == {10}
    assert len(set(days)) == 28


def test_a_line_taken_away_is_none_and_a_day_before_knows_of_no_line():
    assert house(4).start_line == StartLine(DRAWN, 4)
    assert house(4, ("0", DRAWN + timedelta(days=3))).start_line is None
    assert house(4).as_of(DRAWN - timedelta(days=1)).start_line is None
    assert house(4, ("0", DRAWN + timedelta(days=3))).as_of(DRAWN).start_line == StartLine(DRAWN, 4)
    assert House().start_line is None
