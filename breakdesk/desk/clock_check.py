"""Notices a machine clock that went backwards: the desk remembers the latest instant at which anything was recorded."""

from __future__ import annotations

from datetime import datetime, timedelta

from breakdesk.desk.desk import Desk
from breakdesk.rules.zones import in_zone
from breakdesk.store.history import latest_recorded
from breakdesk.store.parties import read_house

TOLERANCE = timedelta(minutes=2)
"""Clocks are set by a few seconds all the time, and two machines never agree to the second."""


def clock_warning(desk: Desk) -> str:
    """A sentence where the machine's clock is earlier than what the desk has recorded; empty where all is well."""
    latest = latest_recorded(desk.database)
    now = desk.clock.now()
    if latest is None or now >= latest - TOLERANCE:
        return ""
    zone = read_house().zone_at(latest)
    return (
        f"This computer's clock says {_written(now, zone)}, but the desk recorded something on "
        f"{_written(latest, zone)}. Set the clock right before you go on: days and deadlines are counted from it."
    )


def _written(instant: datetime, zone: str) -> str:
    return f"{in_zone(instant, zone):%Y-%m-%d %H:%M}"
