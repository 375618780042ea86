"""Hold and combine: a participant's cards wait for others, or for the next order, up to the house's limit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from peewee import Expression

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import person_named
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import Claim
from breakdesk.rules.parties import House
from breakdesk.rules.rounds.ship import can_go_out
from breakdesk.rules.wording import day_in_words, weekday_in_words
from breakdesk.store import history, models
from breakdesk.store.claims import read_claims
from breakdesk.store.parties import read_house

STILL_TO_COME = ("pulled", "submitted", "offered")
COMBINED = "combine"


def combine(desk: Desk, name: str, until: date | None = None, reason: str = "", key: int | None = None) -> Result:
    """A participant's parcel waits until a day, at most as long as the house lets the first card wait."""

    def work(a: Act) -> str:
        person = person_named(name)
        cards = _here(desk, int(person.id))
        if not cards:
            raise refuse(f"Nothing of {person.name}'s is here to wait.", "Combine once the first card has come.")
        last = last_day(cards, a.house)
        wanted = until or last
        if wanted <= a.day:
            raise refuse(
                f"{person.name}'s first card may wait until {day_in_words(last)} at most.", "Pack what is here now."
            )
        if wanted > last:
            raise refuse(
                f"{day_in_words(wanted)} is later than the house lets a card wait: {day_in_words(last)}.",
                "Name an earlier day, or settle another limit (combine_days).",
            )
        table = models.Park
        # A parcel that waits already gets another day: the one before ends.
        table.update(undone=True).where(_waits(int(person.id), a.day)).execute()
        text_id = a.text(reason or "Waits for other cards.").get("text")
        table.create(round="ship", item_id=person.id, until=wanted, text_id=text_id, action_key=a.key)
        a.line("parked participant", int(person.id), "parked", {"round": "ship", "until": wanted.isoformat()})
        return f"{person.name}'s parcel waits until {weekday_in_words(wanted)}."

    return act(desk, COMBINED, work, key)


def _waits(person_id: int, day: date) -> Expression:
    table = models.Park
    stands = (table.round == "ship") & (table.item_id == person_id) & (table.undone == False)  # noqa: E712
    return stands & (table.until > day)


def last_day(cards: list[Claim], house: House) -> date:
    """How long the first of some cards may wait, by the terms of the day on which it came."""
    first = min(claim.in_hand_on or claim.pull_day for claim in cards)
    return first + timedelta(days=house.terms.count_on("combine_days", first))


def end_combining(desk: Desk, name: str, key: int | None = None) -> Result:
    """A participant's parcel waits no longer: it is in the ship round again."""

    def work(a: Act) -> str:
        person = person_named(name)
        changed = models.Park.update(undone=True).where(_waits(int(person.id), a.day)).execute()
        if not changed:
            raise refuse(f"{person.name}'s parcel does not wait.")
        a.line("participant", int(person.id), "no longer waits")
        return f"{person.name}'s parcel can be packed."

    return act(desk, "end combine", work, key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Combining:
    """A participant whose parcel waits; `still_to_come` are the claims whose cards may join it."""

    person_id: int
    name: str
    handle: str
    on_air_name: str
    until: date
    reason: str
    here: tuple[Claim, ...]
    still_to_come: tuple[Claim, ...]


def combining(desk: Desk) -> tuple[Combining, ...]:
    """Whose parcels wait now, the soonest first. Who waits for nothing any more can be packed at once."""
    today = read_house().today(desk.clock.as_of())
    table = models.Park
    stands = (table.round == "ship") & (table.undone == False) & (table.until > today)  # noqa: E712
    found = []
    for row in table.select().where(stands).order_by(table.until, table.id):
        person = models.Participant.get_or_none(models.Participant.id == row.item_id)
        here = _here(desk, row.item_id)
        if person is None or not here:
            continue
        states = ", ".join(f"'{state}'" for state in STILL_TO_COME)
        where = f"claim.owner_id = ? AND claim.state IN ({states}) AND claim.plan = 'submit'"
        coming = tuple(c for c in read_claims(desk.database, where, [row.item_id]) if c.ship_to != "participant")
        found.append(
            Combining(
                person_id=row.item_id,
                name=person.name,
                handle=person.handle,
                on_air_name=person.on_air_name,
                until=row.until,
                reason=history.text_of(row.text_id) or "",
                here=tuple(here),
                still_to_come=coming,
            )
        )
    return tuple(found)


def _here(desk: Desk, person_id: int) -> list[Claim]:
    where = "claim.owner_id = ? AND claim.state IN ('in_hand', 'pulled')"
    return [claim for claim in read_claims(desk.database, where, [person_id]) if can_go_out(claim)]
