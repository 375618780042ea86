"""Days for a calendar program as RFC 5545: one event each, with an identity that stays, so that a re-import updates.

Nothing is written as a recurrence: a monthly one skips the months that have no such day, where our months end on their
last day instead.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING

from breakdesk.files.messages.plain import plain_line, plain_text
from breakdesk.files.private import for_its_owner

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//Breakdesk//Breakdesk//EN"
DONE = "Done"


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A whole day with something to do. `uid` is the same for the same thing at every writing.

    `cancelled`: it was in an earlier calendar and is not to be done any more.
    """

    uid: str
    day: date
    summary: str
    description: str = ""
    category: str = ""
    cancelled: bool = False


def calendar_bytes(name: str, entries: Iterable[Entry], written_at: datetime, sequence: int) -> bytes:
    """The calendar's bytes: UTF-8, CRLF, lines of at most 75 octets that never cut a character (RFC 5545, 3.1).

    `sequence` grows with every writing; a calendar program keeps the event with the higher one.
    """
    # The library takes a while to load, and nothing else needs it.
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("method", "PUBLISH")
    # Not of the standard, but what calendar programs show as a calendar's name.
    calendar.add("x-wr-calname", plain_line(name))
    for entry in entries:
        calendar.add_component(_event(entry, written_at, sequence))
    content: bytes = calendar.to_ical()
    return content


def _event(entry: Entry, written_at: datetime, sequence: int) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", entry.uid)
    event.add("dtstamp", written_at.replace(microsecond=0))
    event.add("sequence", sequence)
    event.add("dtstart", entry.day)
    event.add("dtend", entry.day + timedelta(days=1))
    event.add("summary", plain_line(entry.summary))
    if entry.description:
        event.add("description", plain_text(entry.description))
    if entry.category:
        event.add("categories", [entry.category])
    # A deadline takes no time of the day it stands on.
    event.add("transp", "TRANSPARENT")
    event.add("status", "CANCELLED" if entry.cancelled else "CONFIRMED")
    return event


def write_calendar(path: Path, content: bytes) -> None:
    """Writes the file for its owner alone, whole or not at all, in the place of an earlier one. Raises OSError."""
    unfinished = path.with_name(f".{path.name}.unfinished")
    try:
        with open(unfinished, "wb", opener=for_its_owner) as file:
            file.write(content)
        unfinished.replace(path)
    except BaseException:
        unfinished.unlink(missing_ok=True)
        raise
