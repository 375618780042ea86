"""Quiet hours: the part of a day in which a participant is not written to, by the clock of their own zone."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, time, timedelta
from typing import Final

from breakdesk.rules.office import parse_hour
from breakdesk.rules.zones import first_instant_at, in_zone

QUIET_TERMS: Final[Mapping[str, str]] = {"direct": "quiet_direct", "email": "quiet_email", "sms": "quiet_sms"}
"""The house's term with the quiet hours of each channel; a public post wakes nobody."""

Hours = tuple[time, time]
"""From the first minute on, up to but not including the second; over midnight where the second is earlier."""


def read_hours(text: str) -> Hours | None:
    """Read quiet hours written 21:00-08:00; None for an empty text. Raises ValueError with a sentence otherwise."""
    if not text.strip():
        return None
    first, dash, last = text.partition("-")
    begins, ends = (parse_hour(first), parse_hour(last)) if dash else (None, None)
    if begins is None or (ends is None and last.strip() != "24:00") or begins == (ends or time.min):
        raise ValueError(f"{text!r} is no span of hours; write it as 21:00-08:00, or leave it empty.")
    return begins, ends or time.min


def written_hours(hours: Hours | None) -> str:
    """Quiet hours as they are kept; empty for none."""
    return "" if hours is None else f"{hours[0]:%H:%M}-{hours[1]:%H:%M}"


def quiet_until(now: datetime, zone_name: str, hours: Hours | None) -> datetime | None:
    """The UTC instant at which the quiet hours around `now` end; None where `now` is not quiet.

    The hours are read from the zone's clock: an end that the clock jumps over is the first instant after the jump, one
    that occurs twice is the first of the two.
    """
    if hours is None:
        return None
    begins, ends = hours
    local = in_zone(now, zone_name)
    clock = local.time().replace(tzinfo=None)
    over_midnight = ends <= begins
    if not (clock >= begins or clock < ends if over_midnight else begins <= clock < ends):
        return None
    day = local.date() + timedelta(days=1) if over_midnight and clock >= begins else local.date()
    end = first_instant_at(datetime.combine(day, ends), zone_name)
    # Where the clock goes back over the end, it shows quiet hours once more after they were over.
    return end if end > now else None
