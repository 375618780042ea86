"""The tell round: participants with news that is due or with no update for too long, and what to tell them."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime
from typing import TypeVar

from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim, Listed
from breakdesk.rules.names import name_order
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.items import Parked, PersonToTell, ToTell

Given = TypeVar("Given", bound=Listed)


def telling_days(claims: Iterable[Listed], parties: Parties) -> dict[int, date]:
    """For each participant with a reason to be told, the earliest day of all the reasons.

    Reasons are untold news, a reminder, and the silence of somebody who has submitted claims.
    """
    days: dict[int, date] = {}
    oldest: dict[int, date] = {}

    def falls_due(person_id: int, day: date) -> None:
        days[person_id] = min(day, days.get(person_id, day))

    for claim in claims:
        for item in claim.news:
            falls_due(item.person_id, clocks.news_due(item, parties.house))
        if claim.owner_id is None:
            continue
        if claim.state == "submitted" and claim.submitted_on is not None:
            oldest[claim.owner_id] = min(claim.submitted_on, oldest.get(claim.owner_id, claim.submitted_on))
        if isinstance(claim, Claim) and claim.state in clocks.STATES_WITH_REMINDERS:
            reminder = clocks.reminder(claim, parties.people[claim.owner_id], parties.house)
            if reminder is not None and reminder.due is not None:
                falls_due(claim.owner_id, reminder.due)
    for person_id, submitted_on in oldest.items():
        silence = clocks.silence_due(parties.people[person_id].last_told_on, submitted_on, parties.house, person_id)
        if silence is not None:
            falls_due(person_id, silence)
    return days


def to_tell(claims: Iterable[Listed], parties: Parties, now: datetime, parked: Parked) -> tuple[PersonToTell, ...]:
    """Participants with a telling whose day has come, with all that is untold and what else they wait for."""
    # The hold of a participant is theirs alone: who owned their claim before still hears what became of it.
    claims = [claim for claim in claims if not claim.on_hold]
    today = parties.house.today(now)
    due = {
        person_id: day
        for person_id, day in telling_days(claims, parties).items()
        if day <= today and not parked.has("tell", person_id) and not parties.people[person_id].on_hold
    }
    items: dict[int, list[ToTell[Listed]]] = {person_id: [] for person_id in due}
    for claim in claims:
        if not claim.news and claim.owner_id not in items:
            continue
        for person_id, item in what_to_tell(claim, parties, today):
            if person_id in items:
                items[person_id].append(item)
    people = [
        PersonToTell(parties.people[person_id], due[person_id], tuple(sorted(lines, key=lambda item: item.claim.tag)))
        for person_id, lines in items.items()
    ]
    return tuple(sorted(people, key=lambda item: name_order(item.person.name)))


def what_to_tell(claim: Given, parties: Parties, today: date) -> Iterable[tuple[int, ToTell[Given]]]:
    """What a message would say of one claim, by the participant it concerns: news, a reminder, or that it waits."""
    for news in claim.news:
        yield news.person_id, ToTell(claim, news.word, news.since)
    if claim.owner_id is None:
        return
    if isinstance(claim, Claim):
        reminder = clocks.reminder(claim, parties.people[claim.owner_id], parties.house)
        if reminder is not None and reminder.due is not None and reminder.due <= today:
            yield claim.owner_id, ToTell(claim, reminder.word, reminder.due)
    is_news = any(news.person_id == claim.owner_id for news in claim.news)
    if claim.state == "submitted" and claim.submitted_on is not None and not is_news:
        yield claim.owner_id, ToTell(claim, "waiting", claim.submitted_on)
