"""Messages under way: written down before they are handed over, and struck once somebody knows what became of them.

A note that is left over means that nobody knows whether the message arrived. It is never sent again by itself: a person
looks and says so.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from email.message import EmailMessage
from typing import Any

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.others import said_of
from breakdesk.desk.problems import Problem, Result, refuse
from breakdesk.desk.telling import record_telling
from breakdesk.files.messages.channels import EMAIL
from breakdesk.store import models
from breakdesk.store.engine import alone
from breakdesk.store.feed import told_after
from breakdesk.store.parties import read_house

UNDER_WAY = "sending "


@dataclass(frozen=True, slots=True, kw_only=True)
class Ready:
    """One message, ready to be handed over, with what its telling will say."""

    person_id: int
    name: str
    claim_ids: tuple[int, ...]
    to_address: str
    mail: EmailMessage
    text: str
    template: str
    key: int
    number: int
    """The latest action of the history that the message knows of."""


def note_under_way(desk: Desk, ready: Ready) -> Problem | None:
    """Writes down that a message is about to be handed over; a problem where one is under way already."""
    note = {
        "claims": list(ready.claim_ids),
        "text": ready.text,
        "template": ready.template,
        "key": ready.key,
        "number": ready.number,
        "at": desk.clock.as_of().isoformat(),
    }
    with desk.database.atomic():
        alone(desk.database)
        if note_of(ready.person_id) is not None:
            return Problem(f"Another program is writing to {ready.name} now.", "Let it finish first.")
        told = told_after(desk.database, ready.person_id, ready.number)
        if told is not None:
            return Problem(said_of(told, read_house()), "Look at what is left to be told.")
        models.Setting.insert(name=f"{UNDER_WAY}{ready.person_id}", value=json.dumps(note)).execute()
    return None


def note_of(person_id: int) -> dict[str, Any] | None:
    """What is written down of a message under way to a participant; None where none is."""
    row = models.Setting.get_or_none(models.Setting.name == f"{UNDER_WAY}{person_id}")
    return None if row is None else dict(json.loads(row.value))


def strike_note(desk: Desk, ready: Ready) -> None:
    """The message did not leave: nothing is under way any more."""
    with desk.database.atomic():
        _strike(ready.person_id)


def _strike(person_id: int) -> None:
    models.Setting.delete().where(models.Setting.name == f"{UNDER_WAY}{person_id}").execute()


def record_sent(desk: Desk, ready: Ready) -> Result:
    """The server took the message: the participant is told, and nothing is under way any more."""

    def work(a: Act) -> str:
        _strike(ready.person_id)
        record_telling(a, ready.person_id, ready.claim_ids, EMAIL, ready.text, ready.template, ready.number)
        return f"{ready.name} is told by e-mail."

    return act(desk, "tell", work, ready.key)


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderWay:
    """A message of which nobody knows whether it arrived."""

    person_id: int
    name: str
    handle: str
    at: datetime
    text: str


def under_way(desk: Desk) -> tuple[UnderWay, ...]:
    """Every message of which nobody knows whether it arrived."""
    found = []
    table = models.Setting
    for setting in table.select().where(table.name.startswith(UNDER_WAY)).order_by(table.name):
        note, person_id = json.loads(setting.value), int(setting.name.removeprefix(UNDER_WAY))
        row = models.Participant.get_by_id(person_id)
        at = datetime.fromisoformat(note["at"])
        found.append(UnderWay(person_id=person_id, name=row.name, handle=row.handle, at=at, text=note["text"]))
    return tuple(found)


def settle_under_way(desk: Desk, person_id: int, *, arrived: bool) -> Result:
    """A person looked: the message arrived and is a telling, or it did not and may be sent again."""
    note = note_of(person_id)
    if note is None:
        return Problem("No message to that participant is in doubt.")

    def work(a: Act) -> str:
        row = models.Participant.get_or_none(models.Participant.id == person_id)
        if row is None:
            raise refuse("That participant is not in the desk any more.")
        _strike(person_id)
        if not arrived:
            a.line("participant", person_id, "message did not arrive")
            return f"The message to {row.name} did not arrive; it can be sent again."
        sent = datetime.fromisoformat(note["at"])
        latest = max((claim.last_event_on for claim in a.claims(note["claims"])), default=a.day)
        if latest <= a.house.today(sent) <= a.day:
            a.day, a.happened = a.house.today(sent), sent
        record_telling(a, person_id, note["claims"], EMAIL, note["text"], note["template"], note["number"])
        return f"{row.name} is told by e-mail."

    return act(desk, "tell" if arrived else "message did not arrive", work, note["key"])
