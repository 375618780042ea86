"""The bands of age against the ageing buckets of a published textbook."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest

from breakdesk.rules.days import BANDS, band

# Each published bucket as the union of our bands.
BUCKETS = {
    "0-30": ("0-30",),
    "31-90": ("31-60", "61-90"),
    "over 90": ("91-120", "121-180", "181-365", "over 365"),
}
BUCKET_OF_BAND = {name: bucket for bucket, names in BUCKETS.items() for name in names}
AGES = {"0-30": (0, 15, 30), "31-90": (31, 60, 61, 90), "over 90": (91, 120, 121, 180, 181, 365, 366, 4000)}


def _spread(balances: dict[str, int]) -> list[tuple[int, int]]:
    """Return (age in days, amount) pairs that share each bucket's balance among ages up to the bucket's edges."""
    items: list[tuple[int, int]] = []
    for bucket, balance in balances.items():
        share, rest = divmod(balance, len(AGES[bucket]))
        items += [(days, share + (rest if days == AGES[bucket][0] else 0)) for days in AGES[bucket]]
    return items


def _by_bucket(items: list[tuple[int, int]]) -> Counter[str]:
    totals: Counter[str] = Counter()
    for days, amount in items:
        totals[BUCKET_OF_BAND[band(days)]] += amount
    return totals


@pytest.mark.outside(
    rule="the buckets 0-30, 31-90 and over 90 days are unions of our bands: 30 in the first, 31 and 90 in the second",
    source="OpenStax, Principles of Accounting vol. 1: Financial Accounting, section 9.2",
)
def test_published_buckets_are_unions_of_bands() -> None:
    assert [name for names in BUCKETS.values() for name in names] == list(BANDS)
    for days in range(1200):
        published = "0-30" if days <= 30 else "31-90" if days <= 90 else "over 90"
        assert BUCKET_OF_BAND[band(days)] == published


@pytest.mark.parametrize(
    ("balances", "percentages", "expected"),
    [
        ((145_740, 102_100, 77_010), (10, 20, 30), Fraction(58_097)),
        ((22_480, 36_540, 15_330), (6, 17, 25), Fraction("11393.10")),
    ],
    ids=["first example", "printed answer"],
)
@pytest.mark.outside(
    rule="the sum over the buckets of balance times percentage",
    source="OpenStax, Principles of Accounting vol. 1: Financial Accounting, section 9.2",
)
def test_sums_of_the_examples(balances: tuple[int, ...], percentages: tuple[int, ...], expected: Fraction) -> None:
    totals = _by_bucket(_spread(dict(zip(BUCKETS, balances, strict=True))))
    assert tuple(totals[bucket] for bucket in BUCKETS) == balances
    rates = zip(BUCKETS, percentages, strict=True)
    assert sum(Fraction(totals[bucket] * percentage, 100) for bucket, percentage in rates) == expected


@pytest.mark.outside(
    rule="the buckets add up to the whole balance, of which a simple percentage can be taken",
    source="OpenStax, Principles of Accounting vol. 1: Financial Accounting, section 9.2",
)
def test_buckets_add_up_to_the_balance() -> None:
    totals = _by_bucket(_spread({"0-30": 145_740, "31-90": 102_100, "over 90": 77_010}))
    assert totals.total() == 324_850
    assert Fraction(totals.total() * 15, 100) == Fraction("48727.50")
    estimate = Fraction(145_740 * 10 + 102_100 * 20 + 77_010 * 30, 100)
    assert estimate + 20_000 == 78_097
