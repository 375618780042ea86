"""How much time is left, as a person says it."""

from __future__ import annotations

from datetime import datetime, timedelta

from breakdesk.rules.wording import counted


def time_left(until: datetime, now: datetime) -> str:
    """`in 2 days, 5 hours`, `in 40 minutes`, or `3 hours ago`; whole units, the smaller one left out where it is 0."""
    gone = until <= now
    said = _length(now - until if gone else until - now)
    return f"{said} ago" if gone else f"in {said}"


def _length(length: timedelta) -> str:
    minutes = int(length.total_seconds() // 60)
    days, hours, minutes = minutes // 1440, minutes // 60 % 24, minutes % 60
    if days:
        return _joined(counted(days, "day"), counted(hours, "hour") if hours and days < 14 else "")
    if hours:
        return _joined(counted(hours, "hour"), counted(minutes, "minute") if minutes else "")
    return counted(minutes, "minute") if minutes else "less than a minute"


def _joined(first: str, second: str) -> str:
    return f"{first}, {second}" if second else first
