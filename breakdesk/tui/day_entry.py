"""A day as a person types it in a dialog: a date, a weekday, or a number of days from today."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta

from breakdesk.files.dates import parse_day
from breakdesk.rules.wording import day_in_words

HINT = "A number of days from today, a weekday, or a date such as 2026-12-04."
MOST_DAYS = 3650
_WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")


def read_day(text: str, today: date) -> date:
    """The day meant by `10`, `friday` (the next one) or a date. Raises ValueError with a sentence."""
    written = text.strip().casefold()
    if written.isdecimal():
        days = int(written) if len(written) <= 4 else MOST_DAYS + 1
        if not 1 <= days <= MOST_DAYS:
            raise ValueError(f"Write 1 to {MOST_DAYS} days, or a date.")
        return today + timedelta(days=days)
    for number, name in enumerate(_WEEKDAYS):
        if len(written) >= 3 and name.startswith(written):
            return today + timedelta(days=(number - today.weekday() - 1) % 7 + 1)
    return parse_day(text)


def day_check(today: date, *, optional: bool = False) -> Callable[[str], str | None]:
    """A check for a dialog: what is wrong with a typed day, as a sentence; a past day is wrong."""

    def check(text: str) -> str | None:
        if optional and not text.strip():
            return None
        try:
            day = read_day(text, today)
        except ValueError as error:
            return str(error)
        return None if day >= today else f"{day_in_words(day)} is past."

    return check
