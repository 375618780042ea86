"""Days, instants and amounts as commands write them."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime


def day_words(day: date | None) -> str:
    """A day, such as "15 Jun 2026"; empty for none."""
    return "" if day is None else f"{day.day} {day:%b %Y}"


def weekday_words(day: date | None) -> str:
    """A day with its weekday, such as "Mon 15 Jun 2026"; empty for none."""
    return "" if day is None else f"{day:%a} {day_words(day)}"


def instant_words(instant: datetime | None, zone: str) -> str:
    """An instant as the clock of a zone shows it, such as "Mon 15 Jun 2026 17:00"; empty for none."""
    if instant is None:
        return ""
    from breakdesk.rules.zones import in_zone

    local = in_zone(instant, zone)
    return f"{weekday_words(local.date())} {local:%H:%M}"


def last_moment_words(end: datetime | None, zone: str) -> str:
    """A limit as its last day where it falls on midnight."""
    if end is None:
        return ""
    from breakdesk.rules.zones import last_day_before

    return weekday_words(last_day_before(end, zone)) or instant_words(end, zone)


def value_words(value: Mapping[str, int], no_value: int = 0) -> str:
    """Totals by currency, and how many claims have no value."""
    from breakdesk.rules.money import Money, format_money

    parts = [format_money(Money(minor, currency)) for currency, minor in value.items()]
    if no_value:
        parts.append(f"{no_value} without a value")
    return ", ".join(parts)
