"""Public holidays of a country or one of its parts, on the days on which they are observed.

The dates are those of the `holidays` library. It is imported only where a date is asked for, because importing it
costs more than opening a desk.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from holidays import HolidayBase

_COUNTRY_CODE = re.compile("[A-Z]{2}")


def known_country(country: str) -> bool:
    """Tell whether the holidays of `country`, two letters of ISO 3166-1 in either case, are known."""
    return _calendar(country, None, ()) is not None


def known_subdivision(country: str, subdivision: str) -> bool:
    """Tell whether the holidays of `subdivision` are known: its code in ISO 3166-2 without the country, or its name."""
    return bool(subdivision.strip()) and _calendar(country, subdivision, ()) is not None


def public_holidays(country: str, subdivision: str | None, years: Iterable[int]) -> dict[date, str]:
    """Return the public holidays of the `years` by date, each with its name, in order of date.

    A holiday that falls on a weekend stands on its own date and on the day on which it is observed, also where that
    is the last day of the year before. An empty `subdivision` is the whole country. Raises ValueError where the
    country or the subdivision is not known.
    """
    wanted = sorted(set(years))
    calendar = _calendar(country, subdivision, wanted)
    if calendar is not None:
        return {day: calendar[day] for day in sorted(calendar) if day.year in wanted}
    if subdivision and known_country(country):
        raise ValueError(f"The public holidays of {subdivision!r} in {country!r} are not known.")
    raise ValueError(f"The public holidays of {country!r} are not known; write a country as two letters, like US.")


def _calendar(country: str, subdivision: str | None, years: Iterable[int]) -> HolidayBase | None:
    import holidays

    code = country.strip().upper()
    if not _COUNTRY_CODE.fullmatch(code):
        return None
    part = (subdivision or "").strip()
    for spelling in dict.fromkeys((part, part.upper())):
        try:
            return holidays.country_holidays(code, subdiv=spelling or None, years=years, language="en_US")
        except NotImplementedError:
            continue
    return None
