"""The outlook's curve against a published data set and against SciPy."""

from __future__ import annotations

import math
import random
import warnings
from fractions import Fraction

import pytest
from scipy.stats import CensoredData, ecdf

from breakdesk.rules.outlook import (
    HALF,
    MOST,
    DayLimits,
    Wait,
    estimate,
    median_days,
    median_limits,
    quantile,
    remaining,
    share_within,
    survival_at,
)

TREATED = [Wait(week, True) for week in (6, 6, 6, 7, 10, 13, 16, 22, 23)] + [
    Wait(week, False) for week in (6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35)
]
PLACEBO = [Wait(week, True) for week in (1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23)]

REMISSION_DATA = "Freireich et al., Blood 21 (1963) 699-716; Gehan, Biometrika 52 (1965) 203-223"


@pytest.mark.outside(rule="Kaplan-Meier estimate, six-mercaptopurine arm", source=REMISSION_DATA)
def test_the_published_table_is_reproduced() -> None:
    rows = [(step.day, step.at_risk, step.filled, round(float(step.survival), 4)) for step in estimate(TREATED).steps]
    assert rows == [
        (6, 21, 3, 0.8571),
        (7, 17, 1, 0.8067),
        (10, 15, 1, 0.7529),
        (13, 12, 1, 0.6902),
        (16, 11, 1, 0.6275),
        (22, 7, 1, 0.5378),
        (23, 6, 1, 0.4482),
    ]


@pytest.mark.outside(
    rule="Kaplan-Meier estimate in exact fractions",
    source="computed from Kaplan and Meier, JASA 53 (1958) 457-481, agreed by scipy.stats.ecdf and lifelines",
)
def test_the_fractions_are_exact() -> None:
    assert [step.survival for step in estimate(TREATED).steps] == [
        Fraction(6, 7),
        Fraction(96, 119),
        Fraction(64, 85),
        Fraction(176, 255),
        Fraction(32, 51),
        Fraction(64, 119),
        Fraction(160, 357),
    ]


@pytest.mark.outside(
    rule="A wait that ends open on a day counts as at risk on that day",
    source="Kaplan and Meier, JASA 53 (1958) 457-481, p. 461, as quoted in SciPy's test_survival.py",
)
def test_open_waits_of_the_same_day_are_still_at_risk() -> None:
    at_risk = {step.day: step.at_risk for step in estimate(TREATED).steps}
    assert (at_risk[6], at_risk[7]) == (21, 17)


@pytest.mark.outside(
    rule="Log-log 95 % limits with Greenwood's variance",
    source="computed from Greenwood's variance and log-log limits, agreed by scipy.stats.ecdf and lifelines",
)
def test_the_limits_are_log_log_limits() -> None:
    limits = [(step.low, step.high) for step in estimate(TREATED).steps]
    expected = [
        (0.6197, 0.9516),
        (0.5631, 0.9228),
        (0.5032, 0.8894),
        (0.4316, 0.8491),
        (0.3675, 0.8049),
        (0.2678, 0.7468),
        (0.1881, 0.6801),
    ]
    for pair, wanted in zip(limits, expected, strict=True):
        assert pair == pytest.approx(wanted, abs=5e-5)


@pytest.mark.outside(
    rule="Median wait and its limits", source="computed from the Kaplan-Meier estimate, agreed by lifelines"
)
def test_medians_and_quantiles() -> None:
    treated, placebo = estimate(TREATED), estimate(PLACEBO)
    assert (median_days(treated), median_days(placebo)) == (23, 8)
    assert median_limits(treated) == DayLimits(13, None)
    assert quantile(treated, Fraction(3, 4)) == 13
    assert quantile(treated, Fraction(1, 4)) is None


@pytest.mark.outside(
    rule="Share that came later, given the wait so far: S(u+v)/S(u)",
    source="computed from the conditional survival formula, agreed by scipy.stats.ecdf",
)
def test_the_remaining_wait_is_conditional() -> None:
    treated = estimate(TREATED)
    assert share_within(treated, 16, 6) == float(Fraction(1, 7))
    # The last observation is an open wait of 35: nothing may be said past it.
    assert survival_at(treated, 35) == Fraction(160, 357)
    assert survival_at(treated, 36) is None
    assert share_within(treated, 16, 20) is None
    assert remaining(treated, 16, HALF) is None


@pytest.mark.outside(
    rule="Kaplan-Meier survival, log-log limits and remaining wait on random data",
    source="computed from the Kaplan-Meier estimate, agreed by scipy.stats.ecdf",
)
@pytest.mark.parametrize("seed", range(25))
def test_random_data_agree_with_scipy(seed: int) -> None:
    chance = random.Random(seed)
    longest = chance.choice([5, 40, 400])
    waits = [Wait(chance.randrange(longest), chance.random() < 0.6) for _ in range(chance.choice([8, 60, 500]))]
    came, still_open = ([wait.days for wait in waits if wait.came is kind] for kind in (True, False))
    with warnings.catch_warnings():
        # SciPy divides by zero where no wait is left at all; there we give no limits.
        warnings.simplefilter("ignore", RuntimeWarning)
        survival = ecdf(CensoredData(uncensored=came, right=still_open)).sf
        interval = survival.confidence_interval(0.95, method="log-log")
    curve = estimate(waits)
    assert curve.steps
    for step in curve.steps:
        assert float(step.survival) == pytest.approx(float(survival.evaluate(step.day)), abs=1e-12)
        low, high = float(interval.low.evaluate(step.day)), float(interval.high.evaluate(step.day))
        if step.low is None or step.high is None:
            assert step.survival == 0
            assert math.isnan(low) or low == 0
        else:
            assert (step.low, step.high) == pytest.approx((low, high), abs=1e-9)
    for waited in range(0, longest, max(1, longest // 20)):
        days = remaining(curve, waited, MOST)
        if days is not None:
            so_far = survival.evaluate(waited)
            assert survival.evaluate(waited + days) / so_far <= 0.2 + 1e-12
            assert survival.evaluate(waited + days - 1) / so_far > 0.2 - 1e-12
