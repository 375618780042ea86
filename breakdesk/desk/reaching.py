"""How a participant is reached, and messages written to files instead of being copied one by one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem, Result, refuse
from breakdesk.desk.telling import Telling, telling_for
from breakdesk.desk.ways import ways_to
from breakdesk.files.messages.channels import KINDS, channel_for
from breakdesk.store import models

CHANNEL_WORDS = {
    "direct": "direct message",
    "email": "e-mail",
    "sms": "short message",
    "public": "public post",
}


def channel_words(channel: str) -> str:
    """What a channel is called, however a file or a person wrote it; a direct message where none is named."""
    return CHANNEL_WORDS[channel_for(channel).kind]


_UNSAFE = re.compile(r"[^A-Za-z0-9_-]+")


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
    quiet_until: datetime | None = None
    """The instant in UTC at which their quiet hours end; None where they may be written to now."""
    note: str = ""
    """Why it is not the way that they prefer, or that it cannot be used."""


def tell_card(desk: Desk, person_id: int, channel: str = "") -> TellCard | None:
    """A participant with the message as it would be sent; `channel` tries another shape. None where there is none."""
    row = models.Participant.get_or_none(models.Participant.id == person_id)
    if row is None:
        return None
    way = ways_to(desk, [person_id], channel)[person_id]
    return TellCard(
        person_id=person_id,
        name=row.name,
        handle=row.handle,
        on_air_name=row.on_air_name,
        channel=way.channel,
        opted_out=bool(row.opted_out),
        last_told_on=row.last_told_on,
        telling=telling_for(desk, person_id, channel=channel),
        due_on=row.tell_due_on,
        quiet_until=way.quiet_until,
        note=way.note,
    )


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


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenMessage:
    """A message in a file: for whom, and what it covers, so that it can be marked as told later."""

    person_id: int
    claim_ids: tuple[int, ...]
    channel: str
    text: str
    template: str
    file: str
    name: str
    handle: str
    on_air_name: str


def write_messages(desk: Desk, person_ids: Sequence[int], folder_name: str) -> tuple[WrittenMessage, ...] | Problem:
    """Writes one text file a participant into a new folder; who opted out gets none, and nobody is marked as told."""
    folder = Path(folder_name).expanduser()
    try:
        folder.mkdir(parents=True)
    except FileExistsError:
        return Problem("That folder is there already.", "Name a new one, so that nothing is written over.")
    except (OSError, ValueError):
        return Problem("That folder cannot be made.", "Name another place.")
    written = []
    for number, person_id in enumerate(person_ids, start=1):
        card = tell_card(desk, person_id)
        if card is None or card.opted_out or not card.telling.claim_ids:
            continue
        name = f"{number:04}-{_file_word(card.handle or card.on_air_name)}.txt"
        message = card.telling.message
        try:
            (folder / name).write_text(f"{message.whole}\n", encoding="utf-8", newline="\n")
        except OSError:
            return Problem(f"Writing stopped at {name}.", "Look at the space left, then write into a new folder.")
        written.append(
            WrittenMessage(
                person_id=person_id,
                claim_ids=card.telling.claim_ids,
                channel=card.channel,
                text=message.whole,
                template=message.templates,
                file=name,
                name=card.name,
                handle=card.handle,
                on_air_name=card.on_air_name,
            )
        )
    return tuple(written)


def _file_word(text: str) -> str:
    return _UNSAFE.sub("-", text).strip("-")[:40] or "participant"
