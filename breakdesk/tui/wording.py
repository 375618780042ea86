"""How the screens write days, amounts and people: one home for each."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from pathlib import Path

from breakdesk.rules.money import Money, format_money
from breakdesk.rules.wording import day_in_words
from breakdesk.rules.zones import in_zone
from breakdesk.tui import masking
from breakdesk.tui.masking import Secret


def day_words(day: date | None, today: date | None = None) -> str:
    """A day with its weekday; the year only where it is another one than this year. A dash for no day."""
    if day is None:
        return "–"
    year = "" if today is not None and day.year == today.year else f" {day.year}"
    return f"{day:%a} {day.day} {day:%b}{year}"


def moment_words(instant: datetime, zone: str) -> str:
    """Return an instant as the day in words and the time that a clock in the zone shows."""
    local = in_zone(instant, zone)
    return f"{day_in_words(local.date())}, {local:%H:%M}"


def values_words(values: Iterable[tuple[str, int]]) -> str:
    """Sums of money by currency, joined; a dash for none."""
    return ", ".join(format_money(Money(minor, currency)) for currency, minor in values) or "–"


SHORT_STATES = {
    "pulled": "to be sent in",
    "submitted": "with the maker",
    "offered": "offer open",
    "in_hand": "here",
    "shipped": "on its way",
    "refused": "refused",
    "void": "void",
}
"""Where a card is, short enough for a list."""


def short_state(state: str, closed_how: str = "") -> str:
    """Where a card is, in a word or two."""
    return SHORT_STATES.get(state) or closed_how.replace("_", " ") or "closed"


def handle_words(handle: str) -> str:
    """A handle with the sign by which people know it for one; empty for none."""
    return f"@{handle.lstrip('@')}" if handle else ""


def person_words(name: str, handle: str, on_air_name: str) -> Secret:
    """A participant for the screen: by name off air, by on-air name or handle on air."""
    return masking.full_name(name, on_air_name or handle_words(handle))


def owner_words(kind: str, name: str, handle: str, on_air_name: str, house: str) -> str | Secret:
    """Whom a claim is for."""
    if kind == "person":
        return person_words(name, handle, on_air_name)
    return {"house": house, "several": "several: to be settled", "nobody": "nobody yet"}[kind]


def path_words(path: Path) -> str:
    """A path with ~ for the home folder, whose name a stream need not see."""
    try:
        return str(Path("~") / path.relative_to(Path.home()))
    except (ValueError, RuntimeError):
        return str(path)


def without_home(sentence: str) -> str:
    """A sentence with ~ for the home folder, as `path_words` writes a path."""
    try:
        return sentence.replace(str(Path.home()), "~")
    except RuntimeError:
        return sentence
