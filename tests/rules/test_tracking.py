"""Tracking numbers: a slip is doubted, an unknown number too, and nothing is ever refused."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.tracking import (
    TrackingReading,
    look_at,
    mod_10_check_digit,
    mod_37_36_check_symbol,
    normalise_tracking,
    s10_check_digit,
)

DIGITS = "0123456789"
SYMBOLS = DIGITS + "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=40))
def test_any_text_gets_a_reading(text: str) -> None:
    reading = look_at(text)
    assert reading.standard is not None or reading.doubt is not None
    assert normalise_tracking(normalise_tracking(text)) == normalise_tracking(text)


@settings(max_examples=100, deadline=None)
@given(st.text(alphabet=DIGITS, min_size=8, max_size=8), st.integers(0, 8), st.sampled_from(DIGITS))
def test_a_wrong_digit_of_a_postal_item_is_doubted(serial: str, place: int, digit: str) -> None:
    digits = f"{serial}{s10_check_digit(serial)}"
    changed = digits[:place] + digit + digits[place + 1 :]
    reading = look_at(f"rr {changed} xx")
    assert reading.standard == "UPU S10"
    # The rule writes 5 for two of its eleven remainders, so a wrong digit can slip through only there.
    if changed == digits:
        assert reading.doubt is None
    elif place == 8 or digits[8] != "5":
        assert reading.doubt is not None


@settings(max_examples=100, deadline=None)
@given(st.text(alphabet=DIGITS, min_size=17, max_size=21), st.integers(0, 16), st.integers(1, 9))
def test_a_wrong_digit_always_changes_the_mod_10_check_digit(digits: str, place: int, difference: int) -> None:
    changed = digits[:place] + DIGITS[(int(digits[place]) + difference) % 10] + digits[place + 1 :]
    assert mod_10_check_digit(changed) != mod_10_check_digit(digits)


@settings(max_examples=100, deadline=None)
@given(st.text(alphabet=SYMBOLS, min_size=1, max_size=27), st.integers(0, 26), st.sampled_from(SYMBOLS))
def test_a_wrong_symbol_always_changes_the_mod_37_36_check_symbol(text: str, place: int, symbol: str) -> None:
    place %= len(text)
    changed = text[:place] + symbol + text[place + 1 :]
    assert (mod_37_36_check_symbol(changed) == mod_37_36_check_symbol(text)) == (changed == text)


@pytest.mark.parametrize("written", ["RB 123 456 785 GB", "rb123456785gb", "RB-123456785-GB\u200b"])
def test_spaces_hyphens_and_case_do_not_matter(written: str) -> None:
    assert look_at(written) == TrackingReading("UPU S10", None)


def test_an_unknown_number_gets_a_word_of_doubt() -> None:
    assert look_at("XY-77").standard is None
    assert look_at("  ").doubt == "There is no tracking number here."
    assert "no published rule" in (look_at("hello").doubt or "")
    # Digits of another script are no digits of a tracking number.
    assert look_at("RB१२३४५६७८५GB").standard is None
