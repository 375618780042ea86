"""The outlook of each maker and of all together, from the waits of their claims."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from breakdesk.rules import outlook as rules
from breakdesk.rules.names import folded
from breakdesk.rules.outlook import ChosenCurve, Curve, DayLimits, ExpectedArrivals, Wait
from breakdesk.rules.waits import ObservedWait

HALF_A_YEAR, A_YEAR = 183, 365
"""Days for which the shares "within 6 months" and "within 12 months" are read off the curve."""
WITHIN = (30, 60, 90)

CountedWait = tuple[int | None, ObservedWait, int]
"""A maker's key, a wait, and how many claims waited so."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MakerOutlook:
    """What one maker's claims show, or those of all makers (`maker` None).

    Counts are the maker's own. `submitted` counts the claims that ever entered; `refused` those that the maker refused
    and never filled. `pooled` says that the curve is that of all makers.
    """

    maker: str | None
    chosen: ChosenCurve
    submitted: int
    waiting: int
    filled: int
    refused: int
    waited_days: tuple[int, ...] = field(repr=False, default=())
    """How long each claim that still waits has waited."""

    @property
    def pooled(self) -> bool:
        """Whether curve and median are those of all makers."""
        return self.chosen.pooled

    @property
    def curve(self) -> Curve:
        """The curve to read."""
        return self.chosen.curve

    @property
    def median_days(self) -> int | None:
        """Days by which half of the cards came; None where the data do not reach."""
        return rules.median_days(self.curve)

    @property
    def median_limits(self) -> DayLimits:
        """95 % limits of the median."""
        return rules.median_limits(self.curve)

    @property
    def share_within_half_a_year(self) -> float | None:
        """The share of cards that came within 183 days; None where the data do not reach."""
        return rules.share_filled(self.curve, HALF_A_YEAR)

    @property
    def share_within_a_year(self) -> float | None:
        """The share of cards that came within 365 days; None where the data do not reach."""
        return rules.share_filled(self.curve, A_YEAR)

    @property
    def sentence(self) -> str:
        """The outlook of a claim submitted today, in one sentence that a customer understands."""
        return rules.outlook_sentence(rules.forecast(self.curve, 0))

    def expected(self) -> tuple[ExpectedArrivals, ...]:
        """How many of the waiting cards are to be expected within 30, 60 and 90 days."""
        return rules.expected_arrivals(self.curve, self.waited_days, WITHIN)


@dataclass(slots=True)
class Tally:
    """Waits by maker as they are counted: how many of each length and end, and how long the open ones are."""

    waits: Counter[Wait] = field(default_factory=Counter)
    ends: Counter[str] = field(default_factory=Counter)
    waited: list[int] = field(default_factory=list)


def tallied(waits: Iterable[CountedWait]) -> tuple[Mapping[int | None, Tally], Tally]:
    """Counts waits for each maker, and for all."""
    by_maker: dict[int | None, Tally] = {}
    for maker_id, (wait, end), count in waits:
        tally = by_maker.get(maker_id)
        if tally is None:
            tally = by_maker[maker_id] = Tally()
        tally.waits[wait] += count
        tally.ends[end] += count
        if end == "waiting":
            tally.waited += [wait.days] * count
    everything = Tally()
    for tally in by_maker.values():
        everything.waits.update(tally.waits)
        everything.ends.update(tally.ends)
        everything.waited += tally.waited
    return by_maker, everything


def maker_outlooks(names: Mapping[int, str], waits: Iterable[CountedWait]) -> tuple[MakerOutlook, ...]:
    """One item for each maker by name, and last the one for all makers."""
    tallies, everything = tallied(waits)
    of_all = rules.estimate(everything.waits)
    ordered = sorted(names.items(), key=lambda item: (folded(item[1]), item[1]))
    items = []
    for key, name in ordered:
        tally = tallies.get(key, Tally())
        items.append(_outlook(name, tally, rules.choose_curve(tally.waits, of_all)))
    return (*items, _outlook(None, everything, ChosenCurve(of_all, pooled=False)))


def _outlook(name: str | None, tally: Tally, chosen: ChosenCurve) -> MakerOutlook:
    return MakerOutlook(
        maker=name,
        chosen=chosen,
        submitted=tally.ends.total(),
        waiting=tally.ends["waiting"],
        filled=tally.ends["came"],
        refused=tally.ends["refused"],
        waited_days=tuple(tally.waited),
    )


def expected_words(expected: Sequence[ExpectedArrivals]) -> str:
    """What is to be expected, as a look back that promises nothing; empty where nothing waits."""
    if not any(item.cards or item.unknown for item in expected):
        return ""
    parts = "; ".join(_expected_words(item) for item in expected)
    return f"To be expected from makers: {parts}. A look back at other cards, never a promise."


def _expected_words(item: ExpectedArrivals) -> str:
    if not item.unknown:
        return f"within {item.days} days about {item.cards:.0f}"
    return f"within {item.days} days at least {item.cards:.0f} (for {item.unknown:,} the data end before that)"


def total_expected(items: Sequence[MakerOutlook]) -> tuple[ExpectedArrivals, ...]:
    """Expected arrivals over all makers, each read off its own curve; a claim without a maker off that of all."""
    everything, makers = items[-1], items[:-1]
    nameless = Counter(everything.waited_days)
    for item in makers:
        nameless.subtract(item.waited_days)
    parts = [item.expected() for item in makers]
    parts.append(rules.expected_arrivals(everything.curve, nameless.elements(), WITHIN))
    return tuple(
        ExpectedArrivals(days, sum(part[place].cards for part in parts), sum(part[place].unknown for part in parts))
        for place, days in enumerate(WITHIN)
    )
