"""The draw's machinery against RFC 3797, Knuth's Algorithm P and FIPS 180-4."""

from __future__ import annotations

from collections import Counter
from itertools import product

import pytest
from cryptography.hazmat.primitives.hashes import SHA256, Hash
from scipy.stats import chi2

from breakdesk.rules.draw import (
    commitment,
    prepare,
    reveal,
    rfc_3797_digest,
    rfc_3797_key,
    rfc_3797_selection,
    shuffle,
)

RFC_SOURCES = ([9319], [2, 5, 12, 8, 10], [9, 18, 26, 34, 41, 45])
RFC_DIGESTS = """
    990DD0A5692A029A98B5E01AA28F3459 3691E55CB63FCC37914430B2F70B5EC6
    FE814EDF564C190AC1D25753979990FA 1863CCACEB568C31D7DDBDF1D4E91387
    F4AB33DF4889F0AF29C513905BE1D758 13EAEB529F61ACFB9A29D0BA3A60DE4A
    992DB77C382CA2BDB9727001F3CDCCD9 63AB4258ECA922976811C7F55C383CE7
    DFBC5AC97CED01B3A6E348E3CC63F40D 31CB111C4A4EBE9287CEAE16FE51B909
    07FA46C122F164C215BBC72793B189A3 AC52F8D75CCBE2E61AFEB3387637D501
    53306F73E14FC0B2FBF434218D25948E B5D1403501A81F9A47318BE7893B347C
    85B10B356AA06663EF1B1B407765100A 3269E6CE559ABD57E2BA6AAB495EB9BD
"""
SECRET = "5d1f0c7e9a3b48d2a6c4e1f7b8390d5c"


@pytest.mark.outside(rule="Key and digests of the public selection", source="RFC 3797, section 6")
def test_the_worked_examples_key_and_digests() -> None:
    key = rfc_3797_key(RFC_SOURCES)
    assert key == "9319./2.5.8.10.12./9.18.26.34.41.45./"
    assert [rfc_3797_digest(key, index) for index in range(16)] == RFC_DIGESTS.split()


@pytest.mark.outside(rule="Selection of 10 out of a pool of 25", source="RFC 3797, section 6")
def test_the_worked_examples_selection() -> None:
    assert rfc_3797_selection(RFC_SOURCES, 25, 10) == (17, 7, 2, 16, 25, 23, 8, 24, 19, 13)


@pytest.mark.outside(
    rule="Every order comes from exactly one run of choices",
    source="Knuth, The Art of Computer Programming, volume 2, section 3.4.2, Algorithm P",
)
def test_algorithm_p_reaches_each_order_once() -> None:
    choices = product(range(4), range(3), range(2))
    orders = Counter(shuffle("abcd", dict(zip((4, 3, 2), chosen, strict=True)).__getitem__) for chosen in choices)
    assert len(orders) == 24
    assert set(orders.values()) == {1}


@pytest.mark.outside(
    rule="Orders drawn with secret and words come equally often",
    source="computed from the chi-square distribution with 23 degrees of freedom, agreed by scipy.stats.chi2",
)
def test_drawn_orders_are_even() -> None:
    draw = prepare("card", "order", ["ann", "ben", "cy", "dee"])
    orders = Counter(reveal(draw, SECRET, [str(number)]).result for number in range(4800))
    statistic = sum((times - 200) ** 2 / 200 for times in orders.values())
    assert len(orders) == 24
    assert statistic < chi2.ppf(0.999, 23) == pytest.approx(49.728, abs=5e-4)


@pytest.mark.outside(
    rule="The commitment is the SHA-256 digest of the published lines",
    source="FIPS 180-4, example “abc”, agreed by cryptography",
)
def test_anyone_can_work_out_the_commitment() -> None:
    assert _sha_256("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    draw = prepare("card", "winners", ["ann", "ben", "cy"], 2)
    assert commitment(draw, SECRET) == _sha_256(f"{SECRET}\ncard\nwinners\n2\nann\nben\ncy")


def _sha_256(text: str) -> str:
    digest = Hash(SHA256())
    digest.update(text.encode())
    return digest.finalize().hex()
