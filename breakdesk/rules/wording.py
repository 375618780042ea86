"""Numbers with what they count, and ages, as people say them: on a screen, from a command and in a message alike."""

from __future__ import annotations

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
