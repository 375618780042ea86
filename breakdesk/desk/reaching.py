"""How a participant is reached: the message as it would be sent, by which way, and what stands against it now."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Result, refuse
from breakdesk.desk.telling import PEOPLE_AT_ONCE, Telling, telling_for
from breakdesk.desk.ways import ways_to
from breakdesk.files.messages.channels import KINDS, channel_for
from breakdesk.store import models
from breakdesk.store.parties import read_house
from breakdesk.store.projecting import claims_of_people

CHANNEL_WORDS = {
    "direct": "direct message",
    "email": "e-mail",
    "sms": "short message",
    "public": "public post",
}


def told_by_words(channel: str) -> str:
    """By which way somebody was told; empty where that was not noted."""
    if channel == "none":
        return "settled without a message"
    return f"by {channel_words(channel)}" if channel else ""


def channel_words(channel: str) -> str:
    """What a channel is called, however a file or a person wrote it; a direct message where none is named."""
    return CHANNEL_WORDS[channel_for(channel).kind]


@dataclass(frozen=True, slots=True, kw_only=True)
class TellCard:
    """What the tell round shows of one participant."""

    person_id: int
    name: str
    handle: str
    on_air_name: str
    channel: str
    opted_out: bool
    last_told_on: date | None
    telling: Telling
    due_on: date | None
    quiet: str = ""
    """That their quiet hours are now, in words; empty where they may be written to."""
    note: str = ""
    """Why it is not the way that they prefer, or that it cannot be used."""


def tell_card(desk: Desk, person_id: int, *, plain: bool = False) -> TellCard | None:
    """A participant with the message as it would be sent, by `plain` in plain characters. None where there is none."""
    row = models.Participant.get_or_none(models.Participant.id == person_id)
    if row is None:
        return None
    way = ways_to(desk, [person_id])[person_id]
    return TellCard(
        person_id=person_id,
        name=row.name,
        handle=row.handle,
        on_air_name=row.on_air_name,
        channel=way.channel,
        opted_out=bool(row.opted_out),
        last_told_on=row.last_told_on,
        telling=telling_for(desk, person_id, plain=plain),
        due_on=row.tell_due_on,
        quiet=way.quiet,
        note=way.note,
    )


def mixes_times(desk: Desk, person_ids: Sequence[int]) -> bool:
    """Whether messages to some participants as of the instant that a person named would say what came later: they are
    made from what is known now, and something happened to one of the claims after that day.
    """
    if desk.clock.named is None:
        return False
    today = read_house().today(desk.clock.as_of())
    for start in range(0, len(person_ids), PEOPLE_AT_ONCE):
        claims = claims_of_people(desk.database, person_ids[start : start + PEOPLE_AT_ONCE])
        if any(claim.last_event_on > today for claim in claims):
            return True
    return False


def set_channel(desk: Desk, person_id: int, channel: str, key: int | None = None) -> Result:
    """Changes the way in which a participant is written to."""

    def work(a: Act) -> str:
        if channel not in KINDS:
            raise refuse(f"{channel} is not a channel.", f"Use one of: {', '.join(KINDS)}.")
        row = models.Participant.get_or_none(models.Participant.id == person_id)
        if row is None:
            raise refuse("That participant is not in the desk any more.")
        table = models.Participant
        table.update(channel=channel, version=table.version + 1).where(table.id == person_id).execute()
        a.line("participant", person_id, "channel", {"channel": channel})
        return f"{row.name} is written to by {CHANNEL_WORDS[channel]} from now on."

    return act(desk, "channel", work, key)
