"""Tracking numbers: published check-digit rules that catch a slip of the pen.

Most carriers publish no rule, so a number that fits none gets a word of doubt and is never refused.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from breakdesk.rules.compact import compact

_S10_WEIGHTS = (8, 6, 4, 2, 3, 5, 9, 7)
_ALPHANUMERIC = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
_ROUTING_PREFIX = re.compile(r"420(?:[0-9]{9}|[0-9]{5})(?=(?:[0-9]{20}|[0-9]{22})$)")


@dataclass(frozen=True, slots=True)
class TrackingReading:
    """The published `standard` whose shape the number has, and a `doubt` in one sentence where something is amiss."""

    standard: str | None
    doubt: str | None


@dataclass(frozen=True, slots=True)
class _Standard:
    name: str
    shape: re.Pattern[str]
    fits: Callable[[str], bool]


def normalise_tracking(number: str) -> str:
    """The number as it is compared: capitals, without spaces, hyphens and invisible characters."""
    return compact(number)


def look_at(number: str) -> TrackingReading:
    """Say which published standard the number follows and whether its check digit fits; doubt never means refusal."""
    written = normalise_tracking(number)
    if not written:
        return TrackingReading(None, "There is no tracking number here.")
    shaped = [standard for standard in _STANDARDS if standard.shape.fullmatch(written)]
    for standard in shaped:
        if standard.fits(written):
            return TrackingReading(standard.name, None)
    if shaped:
        name = shaped[0].name
        return TrackingReading(name, f"“{written}” looks like {name}, but its check digit does not fit; read it again.")
    return TrackingReading(None, f"“{written}” follows no published rule that we know; compare it with the label.")


def s10_check_digit(serial: str) -> int:
    """The check digit of the eight digits of a postal item's serial number (UPU S10)."""
    remainder = 11 - sum(weight * int(digit) for weight, digit in zip(_S10_WEIGHTS, serial, strict=True)) % 11
    return {10: 0, 11: 5}.get(remainder, remainder)


def mod_10_check_digit(digits: str) -> int:
    """The digit that follows these: weights 3, 1, 3, … from the right, up to the next ten.

    GS1 General Specifications, and the weighted MOD 10 of USPS Publication 109, 2-8, are the same rule.
    """
    weighted = sum(int(digit) * (1 if index % 2 else 3) for index, digit in enumerate(reversed(digits)))
    return -weighted % 10


def mod_37_36_check_symbol(text: str) -> str:
    """The digit or letter that follows these digits and capital letters (ISO/IEC 7064, MOD 37,36)."""
    product = 36
    for symbol in text:
        partial = (product + _ALPHANUMERIC.index(symbol)) % 36 or 36
        product = partial * 2 % 37
    return _ALPHANUMERIC[(1 - product) % 36]


def _fits_s10(number: str) -> bool:
    return int(number[10]) == s10_check_digit(number[2:10])


def _fits_usps(number: str) -> bool:
    bare = _ROUTING_PREFIX.sub("", number)
    # The short form of the number leaves out the leading 91, over which the check digit may have been taken.
    return _fits_mod_10(bare) or (len(bare) == 20 and _fits_mod_10("91" + bare))


def _fits_mod_10(number: str) -> bool:
    return int(number[-1]) == mod_10_check_digit(number[:-1])


def _fits_mod_37_36(number: str) -> bool:
    return number[-1] == mod_37_36_check_symbol(number[:-1])


_STANDARDS = (
    _Standard("UPU S10", re.compile(r"[A-Z]{2}[0-9]{9}[A-Z]{2}"), _fits_s10),
    _Standard("GS1 mod 10 (SSCC)", re.compile(r"(?:00)?[0-9]{18}"), _fits_mod_10),
    _Standard("USPS MOD 10", re.compile(r"(?:420(?:[0-9]{9}|[0-9]{5}))?(?:[0-9]{20}|9[0-9]{21})"), _fits_usps),
    _Standard("ISO/IEC 7064 MOD 37,36", re.compile(r"[0-9]{27}[0-9A-Z]"), _fits_mod_37_36),
)
