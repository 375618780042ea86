"""Notices of delay: who is to be told, in which words, and the record that they were."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named
from breakdesk.desk.problems import Result, refuse
from breakdesk.files.messages.channels import Message, channel_for
from breakdesk.files.messages.delay import delay_message
from breakdesk.files.messages.sources import Templates
from breakdesk.files.messages.views import ClaimLine, TellingView
from breakdesk.rules import delay
from breakdesk.rules.delay import DelayNotice
from breakdesk.rules.parties import House
from breakdesk.rules.wording import counted
from breakdesk.store import models
from breakdesk.store.notices import claims_to_notify
from breakdesk.store.parties import read_house, read_parties
from breakdesk.store.projecting import people_in


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonToNotify:
    """A participant to be told of a delay: the cards, since when the notice is due, and the text."""

    person_id: int
    name: str
    due_on: date
    notices: tuple[DelayNotice, ...]
    message: Message


def is_on(house: House, day: date) -> bool:
    """Whether the house has notices switched on for what is pulled on a day."""
    return house.terms.on("delay_notice", day) == "on"


def notices_due(desk: Desk) -> tuple[DelayNotice, ...]:
    """The notices whose day has come, as of the desk's instant; none where the house has them switched off."""
    now = desk.clock.as_of()
    claims = claims_to_notify(desk.database, read_house().today(now))
    return delay.delay_notices(claims, read_parties(desk.database, people_in(claims)), now)


def people_to_notify(desk: Desk, tone: str = "warm") -> tuple[PersonToNotify, ...]:
    """One message for each participant who is to be told of a delay, by name."""
    house = read_house()
    folder = desk.folder / "templates"
    templates = Templates(folder) if folder.is_dir() else None
    by_person: dict[int, list[DelayNotice]] = {}
    for notice in notices_due(desk):
        by_person.setdefault(notice.person.id, []).append(notice)
    people = []
    for person_id, notices in by_person.items():
        row = models.Participant.get_by_id(person_id)
        message = delay_message(_view(row, house, notices), tone, channel_for(row.channel), templates)
        due_on = min(notice.due_on for notice in notices)
        people.append(
            PersonToNotify(person_id=person_id, name=row.name, due_on=due_on, notices=tuple(notices), message=message)
        )
    return tuple(people)


def _view(row: models.Participant, house: House, notices: Sequence[DelayNotice]) -> TellingView:
    lines = (
        ClaimLine(tag=notice.claim.tag, what=what_of(notice.claim), pulled_on=notice.claim.pull_day)
        for notice in notices
    )
    return TellingView(
        participant_name=row.name,
        handle=row.handle,
        on_air_name=row.on_air_name,
        channel=row.channel,
        language=row.language or "en",
        zone=row.zone,
        house_name=house.name,
        waiting=tuple(lines),
    )


def give_notice(desk: Desk, tags: Sequence[str], text: str = "", key: int | None = None) -> Result:
    """Records that participants were told of the delay of some claims; the days start anew."""

    def work(a: Act) -> str:
        claims = [claim_named(a, tag) for tag in dict.fromkeys(tags)]
        if not claims:
            raise refuse("No claim was named.", "Name at least one.")
        said = a.text(text)
        for claim in claims:
            if claim.owner_id is None or not claim.is_open or claim.shipped_on is not None:
                raise refuse(f"Nobody waits for claim {claim.tag} in a way that asks for a notice.", "Leave it out.")
            a.add_in_order(claim, "delay_notice", said)
        claims_said = counted(len(claims), "claim")
        return f"The notice of delay is given for {claims_said}."

    return act(desk, "delay notice", work, key)
