"""Numbers with what they count, ages and days, as people say them on a screen, from a command and in a message."""

from __future__ import annotations

from datetime import date

from breakdesk.rules.days import Age


def counted(count: int, one: str, many: str = "") -> str:
    """A number with what it counts: "1 claim", "1,200 claims". `many` where it is more than `one` with an s."""
    return f"{count:,} {one if count == 1 else many or one + 's'}"


def age_words(age: Age) -> str:
    """An age, such as "7 months, 12 days", "12 days" or "today"."""
    if age.days == 0:
        return "today"
    parts = [counted(age.months, "month")] if age.months else []
    if age.extra_days or not parts:
        parts.append(counted(age.extra_days, "day"))
    return ", ".join(parts)


def day_in_words(day: date) -> str:
    """A day inside a sentence, such as "31 March 2027"."""
    return f"{day.day} {day:%B} {day.year}"


def weekday_in_words(day: date) -> str:
    """A day still to be lived through, with its weekday, such as "Wednesday 31 March 2027"."""
    return f"{day:%A} {day_in_words(day)}"


def days_left(days: int) -> str:
    """Days left of a card's time, 0 being its last day: `3 days left`, `last day`, `expired 2 days ago`."""
    if days < 0:
        return f"expired {counted(-days, 'day')} ago"
    return "its last day" if days == 0 else f"{counted(days, 'day')} left"
