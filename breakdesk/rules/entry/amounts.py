"""Amounts of money in a line as it is typed: with a sign, with a code attached, or beside one."""

from __future__ import annotations

import re
from collections.abc import Sequence

from breakdesk.rules.money import DOLLARS

_AMOUNT = re.compile(r"[0-9][0-9,]*(?:\.[0-9]+)?")
_SIGNED_AMOUNT = re.compile(r"([$€£])([0-9][0-9,]*(?:\.[0-9]+)?)")
_CODED_AMOUNT = re.compile(r"(?:([a-z]{3})([0-9][0-9,.]*)|([0-9][0-9,.]*)([a-z]{3}))", re.IGNORECASE)
# Other codes are words of the language, too ("ALL", "TOP", "TRY"), so only these are money beside a bare number.
_TYPED_CURRENCIES = frozenset(
    [
        "AUD",
        "CAD",
        "CHF",
        "CNY",
        "DKK",
        "EUR",
        "GBP",
        "HKD",
        "JPY",
        "KRW",
        "MXN",
        "NOK",
        "NZD",
        "PHP",
        "PLN",
        "SEK",
        "SGD",
        "TWD",
        "USD",
    ]
)
_SIGNS = {"€": "EUR", "£": "GBP"}


def amount_in(texts: Sequence[str], currency: str) -> tuple[str, int]:
    """The amount that the first pieces of a line say, as money is written, and how many of them say it.

    `currency` is the house's: its own dollars are meant by "$". Nothing and 0 where the first piece begins no amount.
    """
    currencies = _TYPED_CURRENCIES | {currency}
    signed = _SIGNED_AMOUNT.fullmatch(texts[0])
    if signed:
        dollars = currency if currency in DOLLARS else "USD"
        return f"{signed[2]} {_SIGNS.get(signed[1], dollars)}", 1
    coded = _CODED_AMOUNT.fullmatch(texts[0])
    if coded and (coded[1] or coded[4]).upper() in currencies:
        return f"{coded[2] or coded[3]} {(coded[1] or coded[4]).upper()}", 1
    first, second = texts[0].upper(), texts[1].upper() if len(texts) > 1 else ""
    if _AMOUNT.fullmatch(first) and second in currencies:
        return f"{first} {second}", 2
    if _AMOUNT.fullmatch(second) and first in currencies:
        return f"{second} {first}", 2
    return "", 0
