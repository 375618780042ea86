"""Claim codes: compared without their dress, questioned when they look alike, and never shown."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules import codes
from breakdesk.rules.tags import make_tag

SYMBOLS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
CODES = st.text(alphabet=SYMBOLS, min_size=1, max_size=14)
PARTIAL = st.text(alphabet=SYMBOLS + "?", min_size=1, max_size=14)


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=30))
def test_normalising_and_folding_twice_change_nothing(text: str) -> None:
    once = codes.normalise_code(text)
    assert codes.normalise_code(once) == once
    folded = codes.fold_lookalikes(text)
    assert codes.fold_lookalikes(folded) == folded


@pytest.mark.parametrize(
    "text", ["abcd-1234-efgh", "ABCD 1234 EFGH", "abcd1234efgh", "ＡＢＣＤ１２３４ＥＦＧＨ", "AB.CD_12/34:EF\u200bGH\n"]
)
def test_the_dress_of_a_code_does_not_matter(text: str) -> None:
    assert codes.normalise_code(text) == "ABCD1234EFGH"


def test_an_unreadable_place_stays() -> None:
    assert codes.normalise_code("ab?d ？f") == "AB?D?F"
    assert codes.is_partial("AB?D")
    assert not codes.is_partial("ABCD")
    assert codes.fold_lookalikes("AB?O") == "A8?0"


@settings(max_examples=100, deadline=None)
@given(PARTIAL, st.integers(0, 60))
def test_readings_are_complete_different_and_limited(code: str, limit: int) -> None:
    readings = codes.lookalike_readings(code, limit)
    assert len(readings) <= limit
    assert len(set(readings)) == len(readings)
    assert code not in readings
    assert not any(codes.is_partial(reading) for reading in readings)
    assert all(len(reading) == len(code) for reading in readings)


@settings(max_examples=100, deadline=None)
@given(CODES)
def test_readings_look_like_the_code(code: str) -> None:
    for reading in codes.lookalike_readings(code, 30):
        assert codes.fold_lookalikes(reading) == codes.fold_lookalikes(code)


@settings(max_examples=50, deadline=None)
@given(st.text(alphabet="01OILQD5S8B", min_size=1, max_size=4))
def test_every_lookalike_is_reached_in_the_end(code: str) -> None:
    count = 1
    for symbol in code:
        count *= sum(codes.fold_lookalikes(other) == codes.fold_lookalikes(symbol) for other in SYMBOLS)
    assert len(codes.lookalike_readings(code, 10_000)) == count - 1


def test_few_changes_and_published_pairs_come_first() -> None:
    assert codes.lookalike_readings("X5O1", 4) == ("X5OI", "X5OL", "X501", "X5D1")
    single = [reading for reading in codes.lookalike_readings("X5O1", 100) if reading[1] == "S"]
    assert single[0] == "XSO1"


def test_a_code_without_lookalikes_has_no_other_reading() -> None:
    assert codes.lookalike_readings("WXY7", 10) == ()
    assert codes.lookalike_readings("", 10) == ()


def test_an_unreadable_place_is_filled_like_its_neighbours() -> None:
    assert codes.lookalike_readings("74?47", 10) == tuple(f"74{digit}47" for digit in "0123456789")
    assert codes.lookalike_readings("WX?YK", 26) == tuple(f"WX{letter}YK" for letter in SYMBOLS[10:])
    assert len(codes.lookalike_readings("?", 100)) == 36


@pytest.mark.parametrize("line", ["AB12-CD34", "ab12 cd34", "QW-02259", "PI 002207", "kit moor ab12cd34"])
def test_what_may_be_a_code_or_a_reference(line: str) -> None:
    assert codes.may_hold_code(line)


@pytest.mark.parametrize("line", ["", "kit moor 7/25", "kit moor gold /100000", "2025 series", f"{make_tag(7)} 7/25"])
def test_what_is_no_code(line: str) -> None:
    assert not codes.may_hold_code(line)
