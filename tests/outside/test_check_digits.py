"""Tracking numbers against the published check-digit rules and their examples."""

from __future__ import annotations

import pytest

from breakdesk.rules.tracking import (
    TrackingReading,
    look_at,
    mod_10_check_digit,
    mod_37_36_check_symbol,
    s10_check_digit,
)


@pytest.mark.outside(rule="UPU S10 check digit", source="UPU S10, example RA473124829GB as quoted by Wikipedia")
def test_the_standards_own_example() -> None:
    assert s10_check_digit("47312482") == 9
    assert look_at("RA473124829GB") == TrackingReading("UPU S10", None)


@pytest.mark.outside(rule="UPU S10 check digit", source="open data tracking_number_data, couriers/s10.json")
def test_a_right_and_a_wrong_postal_item() -> None:
    assert s10_check_digit("12345678") == 5
    assert look_at("RB123456785GB").doubt is None
    wrong = look_at("RB123456786US")
    assert wrong.standard == "UPU S10"
    assert wrong.doubt is not None


@pytest.mark.outside(
    rule="UPU S10: remainder 10 is written 0, remainder 11 is written 5",
    source="computed from UPU S10, weights 8 6 4 2 3 5 9 7",
)
def test_the_two_remainders_that_are_no_digit() -> None:
    # The weighted sums are 4 * 3 = 12, one above a multiple of 11, and 0.
    assert s10_check_digit("00004000") == 0
    assert s10_check_digit("00000000") == 5


@pytest.mark.outside(
    rule="USPS weighted MOD 10, with routing prefix and leading 91",
    source="USPS Publication 109, 2-8; open data tracking_number_data, couriers/usps.json (from Publication 199)",
)
@pytest.mark.parametrize(
    ("number", "right"),
    [
        ("9101 1234 5678 9000 0000 13", True),
        ("9101 1234 5678 9000 0000 14", False),
        ("7112 3456 7891 2345 6787", True),
        ("0307 1790 0005 2348 3741", True),
        ("0307 1790 0005 2348 3742", False),
        ("420 22153 9101026837331000039521", True),
        ("420 22153 9101026837331000039522", False),
        ("420 22153 0000 9101026837331000039521", True),
        ("7196 9010 7560 0307 7385", True),
        ("7196 9010 7560 0307 7386", False),
    ],
)
def test_domestic_numbers(number: str, right: bool) -> None:
    reading = look_at(number)
    assert reading.standard == "USPS MOD 10"
    assert (reading.doubt is None) is right


@pytest.mark.outside(rule="GS1 mod 10 check digit", source="GS1 General Specifications, tables 7-8 and 7-9")
def test_a_logistic_unit() -> None:
    assert mod_10_check_digit("37610425002123456") == 9
    assert look_at("376104250021234569") == TrackingReading("GS1 mod 10 (SSCC)", None)
    assert look_at("00 376104250021234569").doubt is None
    assert look_at("376104250021234568").doubt is not None


@pytest.mark.outside(rule="GS1 mod 10 check digit", source="from memory, agreed by python-stdnum")
def test_trade_items_share_the_rule() -> None:
    assert mod_10_check_digit("629104150021") == 3
    assert mod_10_check_digit("03600029145") == 2


@pytest.mark.outside(
    rule="Mod 10 with weights 3 and 1 misses swapped neighbours that differ by 5",
    source="computed from the GS1 mod 10 rule",
)
def test_the_known_weakness_of_mod_10() -> None:
    pairs = [
        (first, second)
        for first in range(10)
        for second in range(first + 1, 10)
        if mod_10_check_digit(f"{first}{second}") == mod_10_check_digit(f"{second}{first}")
    ]
    assert pairs == [(0, 5), (1, 6), (2, 7), (3, 8), (4, 9)]


@pytest.mark.outside(rule="ISO/IEC 7064 MOD 37,36", source="GRid Standard, example A1-2425G-ABC1234002-M")
@pytest.mark.parametrize(
    ("text", "symbol"), [("A12425GABC1234002", "M"), ("A12425GXYZ9876008", "6"), ("A12425G1234567890", "L")]
)
def test_the_hybrid_rule_with_letters(text: str, symbol: str) -> None:
    assert mod_37_36_check_symbol(text) == symbol


@pytest.mark.outside(
    rule="ISO/IEC 7064 MOD 37,36 on a parcel label",
    source="parcel label specification 2.4.1, examples in open data tracking_number_data",
)
def test_parcel_labels() -> None:
    assert look_at("008182709980000020033350276C") == TrackingReading("ISO/IEC 7064 MOD 37,36", None)
    assert look_at("008182709980000020045327276N").doubt is None
    assert look_at("008182709980000020033350276A").doubt is not None
