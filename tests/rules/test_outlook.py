"""The outlook: exact on its own terms, silent beyond the data, and fast enough for a whole desk."""

from __future__ import annotations

import random
import re
import time
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.outlook import (
    HALF,
    MOST,
    Curve,
    Forecast,
    Wait,
    choose_curve,
    curve_rows,
    estimate,
    expected_arrivals,
    forecast,
    median_days,
    outlook_sentence,
    quantile,
    remaining,
    remaining_limits,
    share_filled,
    share_within,
    survival_at,
)

WAITS = st.lists(st.builds(Wait, st.integers(0, 40), st.booleans()), max_size=60)
AGES = st.integers(0, 45)


def _survival(waits: list[Wait], day: int) -> Fraction:
    """The estimate straight from its definition, day by day."""
    survival = Fraction(1)
    for today in range(day + 1):
        at_risk = sum(wait.days >= today for wait in waits)
        came = sum(wait == Wait(today, True) for wait in waits)
        if came:
            survival *= 1 - Fraction(came, at_risk)
    return survival


@settings(max_examples=150, deadline=None)
@given(WAITS)
def test_the_curve_is_the_product_of_its_definition(waits: list[Wait]) -> None:
    curve = estimate(waits)
    assert [step.day for step in curve.steps] == sorted({wait.days for wait in waits if wait.came})
    assert curve.filled == sum(wait.came for wait in waits)
    assert curve.waits == len(waits)
    for step in curve.steps:
        assert step.survival == _survival(waits, step.day)
        if step.low is not None and step.high is not None:
            assert 0 <= step.low <= step.survival <= step.high <= 1
        else:
            assert step.survival == 0


@settings(max_examples=150, deadline=None)
@given(st.lists(st.integers(0, 40), min_size=1, max_size=60), AGES)
def test_without_open_waits_the_curve_is_the_plain_share_still_waiting(days: list[int], day: int) -> None:
    curve = estimate([Wait(waited, True) for waited in days])
    assert survival_at(curve, day) == Fraction(sum(waited > day for waited in days), len(days))
    assert median_days(curve) == sorted(days)[(len(days) + 1) // 2 - 1]


@settings(max_examples=200, deadline=None)
@given(WAITS, AGES, st.sampled_from([HALF, MOST, Fraction(1, 3)]))
def test_remaining_is_the_smallest_day_on_which_the_share_is_reached(
    waits: list[Wait], waited: int, share: Fraction
) -> None:
    last_day = max((wait.days for wait in waits), default=-1)
    so_far = _survival(waits, waited)
    wanted = None
    if so_far and waited <= last_day:
        days = range(last_day - waited + 1)
        wanted = next((days for days in days if _survival(waits, waited + days) / so_far <= share), None)
    assert remaining(estimate(waits), waited, share) == wanted


@settings(max_examples=150, deadline=None)
@given(WAITS, AGES, st.integers(0, 45))
def test_share_within_is_exact_or_unknown(waits: list[Wait], waited: int, days: int) -> None:
    curve = estimate(waits)
    share = share_within(curve, waited, days)
    last_day = max((wait.days for wait in waits), default=-1)
    so_far, later = _survival(waits, waited), _survival(waits, waited + days)
    if so_far == 0 or waited > last_day or (waited + days > last_day and later > 0):
        assert share is None
    else:
        assert share == float(1 - later / so_far)


@settings(max_examples=100, deadline=None)
@given(WAITS, AGES)
def test_limits_hold_the_estimate_between_them(waits: list[Wait], waited: int) -> None:
    curve = estimate(waits)
    for share in (HALF, MOST):
        days, limits = remaining(curve, waited, share), remaining_limits(curve, waited, share)
        if days is not None:
            assert limits.low is not None
            assert limits.low <= days
        if limits.high is not None:
            assert days is not None
            assert days <= limits.high


@pytest.mark.parametrize("count", [2, 4, 10, 20, 30, 50, 70, 110])
def test_an_exact_half_and_an_exact_fifth_are_not_missed(count: int) -> None:
    curve = estimate(Wait(day, True) for day in range(1, count + 1))
    assert median_days(curve) == count // 2
    if count % 5 == 0:
        assert quantile(curve, MOST) == count * 4 // 5


def test_nothing_is_said_past_the_last_observation() -> None:
    curve = estimate([Wait(5, True), Wait(9, False), Wait(9, False)])
    assert median_days(curve) is None
    assert remaining(curve, 0, HALF) is None
    assert remaining(curve, 10, HALF) is None
    assert share_within(curve, 0, 9) == pytest.approx(1 / 3)
    assert share_within(curve, 0, 10) is None
    assert share_filled(curve, 9) == pytest.approx(1 / 3)
    assert share_filled(curve, 10) is None


def test_day_0_counts_and_when_all_came_the_end_is_known() -> None:
    curve = estimate([Wait(0, True), Wait(3, True)])
    assert [(step.day, step.at_risk, step.filled) for step in curve.steps] == [(0, 2, 1), (3, 1, 1)]
    assert median_days(curve) == 0
    assert remaining(curve, 0, HALF) == 3
    assert share_within(curve, 0, 400) == 1.0
    assert share_within(curve, 3, 1) is None


def test_the_rows_of_a_curve_are_plain_numbers() -> None:
    first, last = curve_rows(estimate([Wait(0, True), Wait(3, True)]))
    assert list(first) == ["day", "at_risk", "filled", "survival", "low", "high"]
    assert (first["day"], first["at_risk"], first["filled"], first["survival"]) == (0, 2, 1, 0.5)
    assert last == {"day": 3, "at_risk": 1, "filled": 1, "survival": 0.0, "low": None, "high": None}


def test_no_waits_give_an_empty_curve() -> None:
    curve = estimate([])
    assert curve == Curve((), 0, None)
    assert median_days(curve) is None
    assert share_within(curve, 0, 0) is None
    assert remaining(curve, 0, HALF) is None


def test_a_wait_cannot_be_negative() -> None:
    with pytest.raises(ValueError, match="-1 days"):
        estimate([Wait(-1, True)])


@pytest.mark.parametrize(("filled", "pooled"), [(0, True), (9, True), (10, False)])
def test_a_maker_with_fewer_than_ten_arrivals_borrows_the_curve_of_all(filled: int, pooled: bool) -> None:
    own = [Wait(day, True) for day in range(filled)] + [Wait(7, False)] * 30
    everyone = [*own, *[Wait(50, True)] * 20]
    for pool in (everyone, estimate(everyone)):
        chosen = choose_curve(own, pool)
        assert chosen.pooled is pooled
        assert chosen.curve == estimate(everyone if pooled else own)


def test_expected_arrivals_add_up_the_shares_and_count_what_is_unknown() -> None:
    curve = estimate([Wait(day, True) for day in range(10, 110, 10)] + [Wait(120, False)] * 10)
    expected = expected_arrivals(curve, [0, 0, 95, 300], within=(30, 60))
    first, second = expected
    in_30, in_60, until_the_end = (share_within(curve, *given) for given in ((0, 30), (0, 60), (95, 25)))
    assert in_30 is not None
    assert in_60 is not None
    assert until_the_end is not None
    assert (first.days, first.unknown) == (30, 2)
    assert first.cards == pytest.approx(2 * in_30 + until_the_end)
    assert (second.days, second.unknown) == (60, 2)
    assert second.cards == pytest.approx(2 * in_60 + until_the_end)


def test_a_longer_time_never_brings_fewer_cards_though_the_data_end_before_it() -> None:
    curve = estimate([Wait(day, True) for day in range(10, 110, 10)] + [Wait(120, False)] * 10)
    expected = expected_arrivals(curve, [40, 70, 300], within=(30, 60, 90))
    assert [item.unknown for item in expected] == [1, 2, 3]
    assert expected[0].cards <= expected[1].cards == expected[2].cards
    until_the_end = [share_within(curve, 40, 80), share_within(curve, 70, 50)]
    assert expected[2].cards == pytest.approx(sum(share or 0 for share in until_the_end))


def _outlook_of(half: int | None, most: int | None, share: float | None) -> Forecast:
    plain = forecast(estimate([]), 0)
    return Forecast(
        waited_days=10,
        half_within_days=half,
        half_limits=plain.half_limits,
        most_within_days=most,
        most_limits=plain.most_limits,
        share_within_90_days=share,
    )


@pytest.mark.parametrize(
    ("half", "most", "share", "parts"),
    [
        (92, 214, 0.5, ("about 3 months more", "about 7 months", "no promise")),
        (1, 20, 1.0, ("about a day more", "about 3 weeks", "no promise")),
        (45, None, 0.6, ("about 6 weeks", "cannot see further", "no promise")),
        (None, None, 0.25, ("25 in 100", "90 more days", "no promise")),
        (None, None, 0.001, ("fewer than 1 in 100", "no promise")),
        (None, None, 0.0, ("none came", "no promise")),
        (None, None, None, ("Too few",)),
    ],
)
def test_the_sentence_looks_back_and_never_names_a_date(
    half: int | None, most: int | None, share: float | None, parts: tuple[str, ...]
) -> None:
    sentence = outlook_sentence(_outlook_of(half, most, share))
    for part in parts:
        assert part in sentence
    assert not re.search(r"\bwill\b|20\d\d", sentence)


def test_the_sentence_for_a_claim_submitted_today_speaks_of_the_whole_wait() -> None:
    sentence = outlook_sentence(forecast(estimate([Wait(day, True) for day in (20, 40, 60)]), 0))
    assert (
        sentence
        == "Of cards like this, half came within about 6 weeks, and 4 in 5 within about 2 months. That is no promise."
    )


def test_a_hundred_thousand_waits_over_1500_days_stay_fast() -> None:
    chance = random.Random(20260101)
    waits = [Wait(chance.randrange(1500), chance.random() < 0.5) for _ in range(100_000)]
    started = time.process_time()
    curve = estimate(waits)
    expected_arrivals(curve, [wait.days for wait in waits if not wait.came])
    median_days(curve)
    # The whole takes about 0.1 s on a quiet machine; the bound leaves room for a busy one.
    assert time.process_time() - started < 0.5
    assert len(curve.steps) == 1500
