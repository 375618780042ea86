"""Days, amounts and lists as a participant's language writes them; English where the language is not known."""

from __future__ import annotations

import re
from datetime import date
from functools import lru_cache
from typing import TYPE_CHECKING

from breakdesk.rules.money import Money, format_money

if TYPE_CHECKING:
    from babel.core import Locale

FALLBACK = "en"
_TAG = re.compile(r"[A-Za-z]{2,3}(?:[-_][A-Za-z0-9]{2,8}){0,3}")


@lru_cache(maxsize=256)
def known_language(language: str) -> str:
    """The language as CLDR names it (`pt_BR`), or `en` for anything that it does not know (BCP 47 or CLDR spelling)."""
    locale = _locale(language.strip())
    return str(locale) if locale is not None else FALLBACK


def shipped_language(language: str) -> str:
    """The language in which a shipped text writes days and amounts for a reader: theirs where it is the text's own."""
    known = known_language(language)
    return known if language_chain(known)[-1] == FALLBACK else FALLBACK


def language_chain(language: str) -> tuple[str, ...]:
    """Where wording is looked for: the region's language first, then the language alone."""
    known = known_language(language)
    parts = known.split("_")
    return tuple("_".join(parts[:length]) for length in range(len(parts), 0, -1))


@lru_cache(maxsize=8192)
def day_text(day: date | None, language: str) -> str:
    """A day with its weekday, "Friday 3 July 2026"; empty for no day."""
    if day is None:
        return ""
    from babel.dates import format_date

    known = known_language(language)
    return format_date(day, "EEEE d MMMM y" if known == FALLBACK else "full", locale=known)


@lru_cache(maxsize=4096)
def money_text(amount: Money | None, language: str) -> str:
    """An amount in its currency's own decimals, as the language writes it; empty for none."""
    if amount is None:
        return ""
    from decimal import Decimal

    from babel.numbers import format_currency

    number, currency = format_money(amount).split()
    return format_currency(Decimal(number), currency, locale=known_language(language))


def list_text(items: tuple[str, ...], language: str) -> str:
    """Several things in one phrase: "a, b and c"."""
    if len(items) < 2:
        return "".join(items)
    known = known_language(language)
    if known == FALLBACK:
        return f"{', '.join(items[:-1])} and {items[-1]}"
    pattern_pair, pattern_start, pattern_middle, pattern_end = _list_patterns(known)
    if len(items) == 2:
        return _fill(pattern_pair, items[0], items[1])
    text = items[-1]
    for position in range(len(items) - 2, -1, -1):
        pattern = pattern_end if position == len(items) - 2 else pattern_start if position == 0 else pattern_middle
        text = _fill(pattern, items[position], text)
    return text


def _fill(pattern: str, first: str, second: str) -> str:
    # Both marks are found before either is filled: an item may itself hold "{1}".
    before, after = pattern.split("{0}", 1)
    return before + first + after.split("{1}", 1)[0] + second + after.split("{1}", 1)[1]


@lru_cache(maxsize=64)
def _list_patterns(known: str) -> tuple[str, str, str, str]:
    from babel.core import Locale

    patterns = Locale.parse(known).list_patterns["standard"]
    return patterns["2"], patterns["start"], patterns["middle"], patterns["end"]


def _locale(language: str) -> Locale | None:
    if not _TAG.fullmatch(language):
        return None
    from babel.core import Locale, UnknownLocaleError

    try:
        return Locale.parse(language.replace("-", "_"))
    except (UnknownLocaleError, ValueError):
        return None
