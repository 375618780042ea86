"""Lookalikes in codes against the published tables, and what stands in none."""

from __future__ import annotations

import pytest

from breakdesk.rules.codes import fold_lookalikes, lookalike_readings, normalise_code


@pytest.mark.outside(
    rule="O is read as 0, I and L as 1, in either case; hyphens are ignored",
    source="Crockford, Base 32, crockford.com/base32.html, decode table",
)
def test_the_decode_table() -> None:
    for symbol in "0Oo":
        assert fold_lookalikes(symbol) == "0"
    for symbol in "1IiLl":
        assert fold_lookalikes(symbol) == "1"
    assert normalise_code("ab-lo") == "ABLO"
    assert fold_lookalikes("co-il") == fold_lookalikes("C011")


@pytest.mark.outside(
    rule="0 and O, and 1, I and l, and Cyrillic a and Latin a, are confusable",
    source="Unicode Technical Standard 39, confusables.txt",
)
@pytest.mark.parametrize(("one", "other"), [("0O", "OO"), ("1", "l"), ("I", "l"), ("Il1", "lll"), ("а", "a")])
def test_confusable_pairs_fold_alike(one: str, other: str) -> None:
    assert one != other
    assert fold_lookalikes(one) == fold_lookalikes(other)


@pytest.mark.outside(
    rule="The upright bar is confusable with l", source="from memory of confusables.txt, Unicode TS 39"
)
def test_the_upright_bar_folds_like_l() -> None:
    assert fold_lookalikes("|") == fold_lookalikes("l")


@pytest.mark.outside(
    rule="Q and D with 0, Z with 2, S with 5, G with 6, B with 8, U with V", source="common practice, no source"
)
def test_pairs_that_stand_in_neither_table() -> None:
    assert fold_lookalikes("QDZSGBU") == fold_lookalikes("002568V")


@pytest.mark.outside(
    rule="Published lookalikes are offered before those of common practice",
    source="Crockford, Base 32, crockford.com/base32.html, decode table",
)
def test_published_pairs_come_first() -> None:
    assert lookalike_readings("O5", 10)[0] == "05"
    assert lookalike_readings("S1", 10)[:2] == ("SI", "SL")


@pytest.mark.outside(
    rule="Symbols that no table joins stay apart", source="Crockford, Base 32, crockford.com/base32.html, decode table"
)
def test_other_symbols_stay_apart() -> None:
    apart = "0123456789ACEFHJKMNPRTVWXY"
    assert len({fold_lookalikes(symbol) for symbol in apart}) == len(apart)
