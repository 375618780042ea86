"""How long cards like this one take: the Kaplan-Meier estimate with waits that are not over counted as such.

A wait runs in whole days from submission to the card's arrival. A card still waiting, refused or void has waited at
least so long (right-censored on its day): leaving it out would make makers look faster than they are. A claim card
that was given away never enters. Survival is kept in exact fractions, so that an exact half is never missed; the 95 %
limits are log-log limits with Greenwood's variance.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from fractions import Fraction
from statistics import NormalDist
from typing import NamedTuple

HALF = Fraction(1, 2)
MOST = Fraction(1, 5)
POOLED_BELOW = 10

_NORMAL_95 = NormalDist().inv_cdf(0.975)


class Wait(NamedTuple):
    """One claim's wait: whole `days` from submission, and whether the card `came` on the last of them."""

    days: int
    came: bool


@dataclass(frozen=True, slots=True)
class Step:
    """A day on which cards came: how many were still waiting before it, how many came, and the share left after it.

    `low` and `high` are 95 % limits of `survival`; None where no card is left waiting.
    """

    day: int
    at_risk: int
    filled: int
    survival: Fraction
    low: float | None
    high: float | None


@dataclass(frozen=True, slots=True)
class Curve:
    """The estimate: a step for each day on which a card came, and the last day on which any wait was observed."""

    steps: tuple[Step, ...]
    waits: int
    last_day: int | None

    @property
    def filled(self) -> int:
        """How many cards came."""
        return sum(step.filled for step in self.steps)


@dataclass(frozen=True, slots=True)
class ChosenCurve:
    """The curve to read for a maker, and whether it is `pooled` over all makers because the maker has too few."""

    curve: Curve
    pooled: bool


@dataclass(frozen=True, slots=True)
class DayLimits:
    """95 % limits of a number of days; None where the data do not reach."""

    low: int | None
    high: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Forecast:
    """What the curve says of a claim that has waited `waited_days`; further days, None where the data do not reach."""

    waited_days: int
    half_within_days: int | None
    half_limits: DayLimits
    most_within_days: int | None
    most_limits: DayLimits
    share_within_90_days: float | None


@dataclass(frozen=True, slots=True)
class ExpectedArrivals:
    """How many waiting `cards` come within so many `days`; of `unknown` ones only what comes until their data end."""

    days: int
    cards: float
    unknown: int


def estimate(waits: Iterable[Wait]) -> Curve:
    """The Kaplan-Meier curve. A wait that ends without the card on a day counts as waiting through that day.

    Waits that are counted already may come as a Counter. Raises ValueError for a wait of less than 0 days.
    """
    counts = Counter(waits)
    days = sorted({wait.days for wait in counts})
    if days and days[0] < 0:
        raise ValueError(f"A wait cannot last {days[0]} days.")
    at_risk = observed = counts.total()
    survival = Fraction(1)
    variance = 0.0
    steps: list[Step] = []
    for day in days:
        filled = counts[Wait(day, True)]
        if filled:
            survival *= Fraction(at_risk - filled, at_risk)
            variance += _greenwood_term(at_risk, filled)
            steps.append(Step(day, at_risk, filled, survival, *_log_log_limits(float(survival), variance)))
        at_risk -= filled + counts[Wait(day, False)]
    return Curve(tuple(steps), observed, days[-1] if days else None)


def choose_curve(maker_waits: Iterable[Wait], all_waits: Iterable[Wait] | Curve) -> ChosenCurve:
    """The maker's own curve, or that of all makers where fewer than 10 of the maker's cards have come.

    For many makers, pass the curve of all waits once estimated instead of the waits.
    """
    own = estimate(maker_waits)
    if own.filled >= POOLED_BELOW:
        return ChosenCurve(own, pooled=False)
    return ChosenCurve(all_waits if isinstance(all_waits, Curve) else estimate(all_waits), pooled=True)


def curve_rows(curve: Curve) -> list[dict[str, int | float | None]]:
    """The steps as plain numbers for programs and tables: day, at_risk, filled, survival, low, high."""
    return [{**asdict(step), "survival": float(step.survival)} for step in curve.steps]


def survival_at(curve: Curve, day: int) -> Fraction | None:
    """The exact share still waiting after this day; None past the last observation unless no card was left."""
    index = bisect_right(curve.steps, day, key=_day)
    survival = curve.steps[index - 1].survival if index else Fraction(1)
    if survival and (curve.last_day is None or day > curve.last_day):
        return None
    return survival


def quantile(curve: Curve, share_left: Fraction) -> int | None:
    """The first day after which at most this share still waits, exactly; None where the data do not reach."""
    return _first_day_at_most(curve, share_left, 0)


def median_days(curve: Curve) -> int | None:
    """The day by which half have come; None where the data do not reach."""
    return quantile(curve, HALF)


def median_limits(curve: Curve) -> DayLimits:
    """95 % limits of the median: the days on which the curve's own limits reach one half."""
    return _inverted_limits(curve.steps, HALF, 0)


def remaining(curve: Curve, waited_days: int, share: Fraction) -> int | None:
    """The smallest v >= 0 with S(u+v)/S(u) <= share for a claim that has waited u days, exactly; None past the data."""
    so_far = survival_at(curve, waited_days)
    if not so_far:
        return None
    first_later = bisect_right(curve.steps, waited_days, key=_day)
    day = _first_day_at_most(curve, share * so_far, first_later)
    return None if day is None else day - waited_days


def remaining_limits(curve: Curve, waited_days: int, share: Fraction) -> DayLimits:
    """95 % limits of `remaining`: log-log limits of S(u+v)/S(u) with Greenwood's variance over the days after u."""
    later = curve.steps[bisect_right(curve.steps, waited_days, key=_day) :]
    left, variance = Fraction(1), 0.0
    conditional: list[Step] = []
    for step in later:
        left *= Fraction(step.at_risk - step.filled, step.at_risk)
        variance += _greenwood_term(step.at_risk, step.filled)
        limits = _log_log_limits(float(left), variance)
        conditional.append(Step(step.day, step.at_risk, step.filled, left, *limits))
    return _inverted_limits(conditional, share, waited_days)


def share_within(curve: Curve, waited_days: int, days: int) -> float | None:
    """The share of claims that waited as long whose card came within so many further days: 1 - S(u+days)/S(u).

    None where u + days is past the last observation (unless no card was left waiting), or no claim waited as long.
    """
    if not survival_at(curve, waited_days) or survival_at(curve, waited_days + days) is None:
        return None
    first = bisect_right(curve.steps, waited_days, key=_day)
    end = bisect_right(curve.steps, waited_days + days, key=_day)
    between = curve.steps[first:end]
    # The ratio is the product over the steps in between alone: exact, and without the curve's long fractions.
    waiting = math.prod(step.at_risk for step in between)
    return (waiting - math.prod(step.at_risk - step.filled for step in between)) / waiting


def share_filled(curve: Curve, days: int) -> float | None:
    """The share of all cards that came within so many days of submission, day 0 included; None past the data."""
    left = survival_at(curve, days)
    return None if left is None else float(1 - left)


def forecast(curve: Curve, waited_days: int) -> Forecast:
    """All that the curve says of a claim that has waited so long."""
    return Forecast(
        waited_days=waited_days,
        half_within_days=remaining(curve, waited_days, HALF),
        half_limits=remaining_limits(curve, waited_days, HALF),
        most_within_days=remaining(curve, waited_days, MOST),
        most_limits=remaining_limits(curve, waited_days, MOST),
        share_within_90_days=share_within(curve, waited_days, 90),
    )


def expected_arrivals(
    curve: Curve, waited_days: Iterable[int], within: Sequence[int] = (30, 60, 90)
) -> tuple[ExpectedArrivals, ...]:
    """How many of the cards that have waited so many days are to be expected within each number of further days."""
    ages = Counter(waited_days)
    return tuple(_expected_within(curve, ages, days) for days in within)


def _expected_within(curve: Curve, ages: Counter[int], days: int) -> ExpectedArrivals:
    cards, unknown = [], 0
    for age, count in ages.items():
        if (share := share_within(curve, age, days)) is None:
            unknown += count
            # As far as the data reach: a longer time must never seem to bring fewer cards than a shorter one.
            share = share_within(curve, age, max((curve.last_day or 0) - age, 0))
        cards.append((share or 0.0) * count)
    return ExpectedArrivals(days, math.fsum(cards), unknown)


def outlook_sentence(outlook: Forecast) -> str:
    """What a customer may be told: a look back at other cards, never a date and never a promise."""
    seen = "Of cards like this that had waited as long, " if outlook.waited_days else "Of cards like this, "
    more = " more" if outlook.waited_days else ""
    no_promise = " That is no promise."
    half, most, share = outlook.half_within_days, outlook.most_within_days, outlook.share_within_90_days
    if half is not None and most is not None:
        return f"{seen}half came within {_duration(half)}{more}, and 4 in 5 within {_duration(most)}.{no_promise}"
    if half is not None:
        return f"{seen}half came within {_duration(half)}{more}. We cannot see further than that.{no_promise}"
    if share is not None:
        return (
            f"{seen}{_in_100(share)} came within 90{more} days. "
            f"We have not seen enough of them to say when half had come.{no_promise}"
        )
    return "Too few cards like this have been followed for so long to say when this one may come."


def _first_day_at_most(curve: Curve, share_left: Fraction, first: int) -> int | None:
    # Rounded shares find the neighbourhood fast, a little early on purpose; exact fractions decide.
    nearly = float(share_left) * (1 + 1e-9)
    index = bisect_left(curve.steps, -nearly, lo=first, key=lambda step: -float(step.survival))
    while index < len(curve.steps) and curve.steps[index].survival > share_left:
        index += 1
    return curve.steps[index].day if index < len(curve.steps) else None


def _inverted_limits(steps: Sequence[Step], share: Fraction, waited_days: int) -> DayLimits:
    low_days = (step.day for step in steps if (step.low or 0.0) <= share)
    high_days = (step.day for step in steps if step.high is not None and step.high <= share)
    low, high = next(low_days, None), next(high_days, None)
    return DayLimits(None if low is None else low - waited_days, None if high is None else high - waited_days)


def _greenwood_term(at_risk: int, filled: int) -> float:
    return math.inf if at_risk == filled else filled / (at_risk * (at_risk - filled))


def _log_log_limits(survival: float, variance: float) -> tuple[float | None, float | None]:
    if survival == 0.0:
        return None, None
    spread = math.exp(_NORMAL_95 * math.sqrt(variance) / -math.log(survival))
    return survival**spread, survival ** (1 / spread)


def _in_100(share: float) -> str:
    if share == 0:
        return "none"
    return f"{round(share * 100)} in 100" if share >= 0.005 else "fewer than 1 in 100"


def _duration(days: int) -> str:
    if days < 14:
        return "about a day" if days == 1 else f"about {days} days"
    if days < 60:
        return f"about {math.floor(days / 7 + 0.5)} weeks"
    return f"about {math.floor(days * 12 / 365.25 + 0.5)} months"


def _day(step: Step) -> int:
    return step.day
