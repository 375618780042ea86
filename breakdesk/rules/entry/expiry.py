"""The day until which a claim can be submitted, as makers print it, as an ISO date or in words."""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from breakdesk.rules.entry.words import MONTHS

_EARLIEST_YEAR = 1980
_LATEST_YEAR = 2199

_ISO_DAY = re.compile(r"([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})")
_THREE_PARTS = re.compile(r"([0-9]{1,2})[/.-]([0-9]{1,2})[/.-]([0-9]{4}|[0-9]{2})")
_ISO_MONTH = re.compile(r"([0-9]{4})[/.-]([0-9]{1,2})")
_MONTH_AND_YEAR = re.compile(r"([0-9]{1,2})[/.-]([0-9]{4}|[0-9]{2})")
_DAY_NUMBER = re.compile(r"([0-9]{1,2})(?:st|nd|rd|th)?", re.IGNORECASE)
_YEAR_NUMBER = re.compile(r"[0-9]{4}")


@dataclass(frozen=True, slots=True)
class Expiry:
    """A day as it was read; `other` is the day that the same figures name when the day is written first."""

    day: date
    other: date | None = None


def full_date(words: Sequence[str]) -> tuple[Expiry, int] | None:
    """A date that needs no word before it, at the start of the words, and how many words it takes.

    `2027-03-31`; `03/31/2027`, month first as cards print it, day first only where that alone is a date; `31 Mar 2027`;
    `Mar 31 2027`; `Mar 2027`, which is the last day of the month. None where the words start with no date.
    """
    if not words:
        return None
    figures = _figures(words[0])
    if figures is not None:
        return figures, 1
    return _with_month_name(words)


def date_after_word(words: Sequence[str]) -> tuple[Expiry, int] | None:
    """What may stand after a word for the expiry: a full date, or month and year (`3/27`, `2027-03`)."""
    found = full_date(words)
    if found is not None or not words:
        return found
    iso_month = _ISO_MONTH.fullmatch(words[0])
    if iso_month:
        return _single(_last_of_month(int(iso_month[1]), int(iso_month[2])))
    month_and_year = _MONTH_AND_YEAR.fullmatch(words[0])
    if month_and_year:
        return _single(_last_of_month(_year(month_and_year[2]), int(month_and_year[1])))
    return None


def _single(day: date | None) -> tuple[Expiry, int] | None:
    return None if day is None else (Expiry(day), 1)


def _figures(word: str) -> Expiry | None:
    iso = _ISO_DAY.fullmatch(word)
    if iso:
        day = _day(int(iso[1]), int(iso[2]), int(iso[3]))
        return None if day is None else Expiry(day)
    parts = _THREE_PARTS.fullmatch(word)
    if not parts:
        return None
    first, second, year = int(parts[1]), int(parts[2]), _year(parts[3])
    month_first, day_first = _day(year, first, second), _day(year, second, first)
    if month_first is None:
        return None if day_first is None else Expiry(day_first)
    return Expiry(month_first, None if day_first == month_first else day_first)


def _with_month_name(words: Sequence[str]) -> tuple[Expiry, int] | None:
    plain = [word.casefold().strip(".,") for word in words[:3]]
    for length in (3, 2):
        found = _named(plain[:length]) if len(plain) >= length else None
        if found is not None:
            return Expiry(found), length
    return None


def _named(plain: Sequence[str]) -> date | None:
    *before, year = plain
    if not _YEAR_NUMBER.fullmatch(year):
        return None
    months = [MONTHS[word] for word in before if word in MONTHS]
    days = [int(match[1]) for word in before if (match := _DAY_NUMBER.fullmatch(word))]
    if len(months) != 1 or len(months) + len(days) != len(before):
        return None
    return _day(int(year), months[0], days[0]) if days else _last_of_month(int(year), months[0])


def _year(text: str) -> int:
    return int(text) if len(text) == 4 else 2000 + int(text)


def _last_of_month(year: int, month: int) -> date | None:
    return _day(year, month, monthrange(year, month)[1]) if 1 <= month <= 12 and year >= _EARLIEST_YEAR else None


def _day(year: int, month: int, day: int) -> date | None:
    if not _EARLIEST_YEAR <= year <= _LATEST_YEAR:
        return None
    try:
        return date(year, month, day)
    except ValueError:
        return None
