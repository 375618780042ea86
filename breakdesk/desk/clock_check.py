"""Notices a machine clock that went backwards: the desk remembers the latest instant at which anything was recorded."""

from __future__ import annotations

from datetime import datetime, timedelta

from breakdesk.desk.desk import Desk
from breakdesk.rules.wording import day_in_words
from breakdesk.rules.zones import in_zone
from breakdesk.store.history import latest_recorded
from breakdesk.store.parties import read_house

TOLERANCE = timedelta(minutes=2)
"""Clocks are set by a few seconds all the time, and two machines never agree to the second."""


def clock_warning(desk: Desk, seen: datetime | None = None) -> str:
    """A sentence where the machine's clock is earlier than it was before; empty where all is well.

    It was later when the desk recorded something, or when this program looked at it last, which is `seen`.
    """
    recorded, now = latest_recorded(desk.database), desk.clock.now()
    latest = max((instant for instant in (recorded, seen) if instant is not None), default=now)
    if now >= latest - TOLERANCE:
        return ""
    zone = read_house().zone_at(latest)
    before = "the desk recorded something on" if latest == recorded else "it already said"
    return (
        f"This computer's clock says {_written(now, zone)}, but {before} {_written(latest, zone)}. "
        "Set the clock right before you go on: days and deadlines are counted from it. If it is right now, look "
        "through what was recorded while it was wrong."
    )


def _written(instant: datetime, zone: str) -> str:
    local = in_zone(instant, zone)
    return f"{day_in_words(local.date())}, {local:%H:%M}"
