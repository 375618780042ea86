"""Amounts of money: whole minor units with a currency, never a binary fraction."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

LARGEST_MINOR = 2**63 - 1

# ISO 4217 list one, from memory: the currencies in use, by the number of their decimal places.
_NO_DECIMALS = "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF"
_TWO_DECIMALS = (
    "AED AFN ALL AMD ANG AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP BYN BZD CAD CDF CHF CNY "
    "COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS "
    "INR IRR JMD KES KGS KHR KPW KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR "
    "MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD "
    "SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS UAH USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG"
)
_THREE_DECIMALS = "BHD IQD JOD KWD LYD OMR TND"
_FOUR_DECIMALS = "CLF UYW"

_DECIMALS = {
    currency: decimals
    for decimals, currencies in {0: _NO_DECIMALS, 2: _TWO_DECIMALS, 3: _THREE_DECIMALS, 4: _FOUR_DECIMALS}.items()
    for currency in currencies.split()
}

DOLLARS = frozenset({"AUD", "CAD", "HKD", "NZD", "SGD", "TWD", "USD"})
"""The currencies that are written with `$`, from memory."""

_CODE_AND_NUMBER = re.compile(r"(?:([A-Za-z]{3})\s*)?(\$\s*)?([0-9.,]+)(?:\s*([A-Za-z]{3}))?")
_PLAIN_NUMBER = re.compile(r"([0-9]*)(?:\.([0-9]+))?")
_GROUPED_NUMBER = re.compile(r"[0-9]{1,3}(?:,[0-9]{3})+(?:\.[0-9]+)?")


@dataclass(frozen=True, slots=True)
class Money:
    """An amount: `minor` whole minor units (cents, for most) of the ISO 4217 `currency`."""

    minor: int
    currency: str


class NotAnAmount(ValueError):  # noqa: N818 - named for what is wrong with the text
    """Text that is no amount: what is wrong with it, as words after its name, and what to do, for people."""

    def __init__(self, text: str, what: str, remedy: str) -> None:
        super().__init__(f"“{text}” {what}; {remedy[:1].lower()}{remedy[1:]}")
        self.what = what
        self.remedy = remedy


def is_currency(code: str) -> bool:
    """Whether the text is an ISO 4217 code in use, in capitals."""
    return code in _DECIMALS


def minor_digits(currency: str) -> int:
    """How many decimal places the currency has (ISO 4217): 2 for most, 0, 3 or 4 for some. KeyError for no currency."""
    return _DECIMALS[currency]


def parse_money(text: str, default_currency: str) -> Money:
    """Read an amount written with a decimal point and, before or after it, an optional ISO 4217 code.

    Commas between groups of three digits are taken only where they cannot be a decimal comma: with a decimal point
    after them, with two or more of them, or in a currency that has not three decimal places. A `$` before the number
    is taken where the currency is a dollar. Raises NotAnAmount, or ValueError for no text, with a sentence for a person
    where the text is anything else, is negative, has more decimals than the currency, or does not fit 64 bits.
    """
    trimmed = text.strip()
    if not trimmed:
        raise ValueError("There is no amount here; write a number such as 12.50.")
    if trimmed[0] in "-(\N{MINUS SIGN}":
        raise NotAnAmount(trimmed, "is negative", "Write the amount without a sign.")
    match = _CODE_AND_NUMBER.fullmatch(trimmed)
    if match is None:
        raise NotAnAmount(
            trimmed,
            "is not an amount of money",
            "Write digits with a decimal point, and the currency as a code of three letters, "
            f"such as 12.50 {default_currency}.",
        )
    before, dollar, number, after = match.groups()
    if before and after:
        raise NotAnAmount(trimmed, "has two currencies", "Write one of them.")
    currency = (before or after or default_currency).upper()
    if not is_currency(currency):
        raise NotAnAmount(currency, "is not a currency code", "Write one of ISO 4217, such as USD or EUR.")
    if dollar and currency not in DOLLARS:
        raise NotAnAmount(trimmed, f"has a $, which is no sign of {currency}", f"Write {number} or {number} USD.")
    return Money(_minor_units(number, currency), currency)


def format_money(money: Money) -> str:
    """The amount as plain text, with all decimals of its currency and the code after it: `123.00 USD`."""
    digits = minor_digits(money.currency)
    sign = "-" if money.minor < 0 else ""
    figures = str(abs(money.minor)).rjust(digits + 1, "0")
    whole, fraction = figures[: len(figures) - digits], figures[len(figures) - digits :]
    return f"{sign}{whole}.{fraction} {money.currency}" if digits else f"{sign}{whole} {money.currency}"


def total(values: Iterable[Money]) -> dict[str, int]:
    """The sum in minor units for each currency, in alphabetical order; currencies are never mixed."""
    sums: dict[str, int] = {}
    for value in values:
        sums[value.currency] = sums.get(value.currency, 0) + value.minor
    return dict(sorted(sums.items()))


def _minor_units(number: str, currency: str) -> int:
    match = _PLAIN_NUMBER.fullmatch(_without_grouping(number, currency))
    if match is None:
        raise NotAnAmount(number, "is not a number that can be read", "Write it like 1200.50.")
    whole, fraction = match.group(1), match.group(2) or ""
    digits = minor_digits(currency)
    if len(fraction) > digits:
        places = f"has {digits} decimal places" if digits else "has no decimal places"
        raise NotAnAmount(number, f"has more decimals than {currency}, which {places}", "Write fewer of them.")
    if len(whole) > 20:
        raise NotAnAmount(number, "is too large an amount", "Write a smaller one.")
    minor = int(whole + fraction.ljust(digits, "0") or "0")
    if minor > LARGEST_MINOR:
        raise NotAnAmount(number, "is too large an amount", "Write a smaller one.")
    return minor


def _without_grouping(number: str, currency: str) -> str:
    if "," not in number:
        return number
    may_be_decimal_comma = number.count(",") == 1 and "." not in number
    if not _GROUPED_NUMBER.fullmatch(number) or (may_be_decimal_comma and minor_digits(currency) == 3):
        raise NotAnAmount(
            number, "can be read in two ways", "Write it with a decimal point and no commas, such as 1200.50."
        )
    return number.replace(",", "")
