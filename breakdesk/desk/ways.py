"""How a participant is written to: the way they prefer, else the one to fall back on, and not in their quiet hours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from breakdesk.desk.desk import Desk
from breakdesk.files.messages.channels import EMAIL, SMS, channel_for
from breakdesk.files.messages.eml import MailProblem, mail_address
from breakdesk.rules.parties import House
from breakdesk.rules.quiet import QUIET_TERMS, quiet_until, read_hours
from breakdesk.rules.zones import UnknownZone, in_zone, zone
from breakdesk.store import models
from breakdesk.store.parties import read_house


@dataclass(frozen=True, slots=True)
class Way:
    """How one participant is written to now."""

    channel: str
    email: str
    phone: str
    quiet_until: datetime | None
    """The instant in UTC at which their quiet hours on this channel end; None where it is not quiet there."""
    quiet: str
    """The same in words, by the clock where they are; empty where it is not quiet there."""
    quiet_short: str
    """The same in a few words, for a list."""
    note: str
    """Why it is not the channel that they prefer, or that it cannot be used; empty where all is well."""


def ways_to(desk: Desk, person_ids: Sequence[int], channel: str = "") -> dict[int, Way]:
    """The way to each of some participants; with `channel` the one named instead of their own."""
    house = read_house()
    now = desk.clock.as_of()
    people, contacts = models.Participant, models.Contact
    known = {row.participant_id: row for row in contacts.select().where(contacts.participant.in_(list(person_ids)))}
    return {
        int(row.id): _way(row, known.get(row.id), house, now, channel)
        for row in people.select().where(people.id.in_(list(person_ids)))
    }


def _way(row: models.Participant, contact: models.Contact | None, house: House, now: datetime, named: str) -> Way:
    email, phone = (contact.email, contact.phone) if contact is not None else ("", "")
    preferred = channel_for(named or row.channel).kind
    chosen, note = preferred, _missing(preferred, row.name, email, phone)
    if note and not named and row.fallback_channel:
        second = channel_for(row.fallback_channel).kind
        if second != preferred and not _missing(second, row.name, email, phone):
            chosen = second
    until, there = quiet_end(house, row.zone, chosen, now)
    quiet = quiet_words(now, until, there) if until else ""
    return Way(chosen, email, phone, until, quiet, quiet.rpartition(", ")[2], note)


def _missing(channel: str, name: str, email: str, phone: str) -> str:
    """Why a channel cannot be used."""
    if channel == EMAIL:
        address = mail_address(name, email)
        return address.sentence if isinstance(address, MailProblem) else ""
    if channel == SMS and not phone.strip():
        return f"There is no phone number for {name}; enter one."
    return ""


def quiet_end(house: House, own_zone: str, channel: str, now: datetime) -> tuple[datetime | None, str]:
    """When the house's quiet hours on a channel end where a participant is, and their zone; None where none are now."""
    today = house.today(now)
    try:
        there = zone(own_zone).key if own_zone else house.zone_on(today)
    except UnknownZone:
        there = house.zone_on(today)
    term = QUIET_TERMS.get(channel)
    return (quiet_until(now, there, read_hours(house.terms.on(term, today))) if term else None), there


def quiet_words(now: datetime, until: datetime, zone_name: str) -> str:
    """What a person has to know of quiet hours: what the clock shows there, and until when they last by it."""
    here, end = in_zone(now, zone_name), in_zone(until, zone_name)
    day = "" if here.date() == end.date() else f" on {end:%A}"
    return f"it is {here:%H:%M} where they are, quiet until {end:%H:%M}{day}"
