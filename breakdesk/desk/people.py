"""Participants: their address, their names, what they wish, and promises made to them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import person_named
from breakdesk.desk.problems import Refusal, Result, refuse
from breakdesk.desk.searching import Hit, look_for
from breakdesk.rules.names import folded
from breakdesk.rules.wording import day_in_words, weekday_in_words
from breakdesk.store import models, words
from breakdesk.store.past import ADDRESS_CHANGED, ADDRESS_CONFIRMED, MOVED

WISHES = ("", "wait", "take", "ask")


def confirm_address(desk: Desk, name: str, address: str = "", country: str = "", key: int | None = None) -> Result:
    """A participant confirmed where their cards go; a new address replaces the old one, which is kept."""

    def work(a: Act) -> str:
        person = person_named(name)
        current = current_address(int(person.id))
        text = address.strip()
        if current is None and not text:
            raise refuse(f"{person.name} has no address yet.", "Write the address down as they gave it.")
        wanted = country.strip().upper()
        same = current is not None and text in ("", current.text) and wanted in ("", current.country.upper())
        if current is None:
            _replace_address(a, int(person.id), text, wanted)
            a.line("participant", int(person.id), ADDRESS_CHANGED)
        elif same:
            day = max(a.day, current.confirmed_on or a.day)
            models.Address.update(confirmed_on=day, moved_on=None).where(models.Address.id == current.id).execute()
            before = {"confirmed_before": current.confirmed_on, "moved_before": current.moved_on}
            a.line("participant", int(person.id), ADDRESS_CONFIRMED, _days_said(before))
        else:
            _replace_address(a, int(person.id), text or current.text, wanted or current.country)
            a.line("participant", int(person.id), ADDRESS_CHANGED, {"address_before": int(current.id)})
        a.people.add(int(person.id))
        return f"{person.name}'s address is {'confirmed' if same else 'changed and confirmed'}."

    return act(desk, "confirm address", work, key)


def _replace_address(a: Act, person_id: int, text: str, country: str) -> None:
    table = models.Address
    table.update(ended_at=a.happened).where(table.participant == person_id, table.ended_at.is_null()).execute()
    table.create(
        participant=person_id,
        text=text,
        country=country,
        confirmed_on=a.day,
        since=a.day,
        recorded_at=a.happened,
    )


def _days_said(days: dict[str, date | None]) -> dict[str, str]:
    return {name: day.isoformat() for name, day in days.items() if day is not None}


def said_moved(desk: Desk, name: str, key: int | None = None) -> Result:
    """A participant said "I moved": the address counts as unconfirmed until they give the new one."""

    def work(a: Act) -> str:
        person = person_named(name)
        current = current_address(int(person.id))
        if current is not None:
            models.Address.update(moved_on=a.day).where(models.Address.id == current.id).execute()
            a.line("participant", int(person.id), MOVED, _days_said({"moved_before": current.moved_on}))
        else:
            a.line("participant", int(person.id), MOVED)
        a.people.add(int(person.id))
        return f"{person.name} moved: nothing goes to the old address."

    return act(desk, "moved", work, key)


def current_address(person_id: int) -> models.Address | None:
    """Where a participant's cards go now."""
    table = models.Address
    return table.get_or_none(table.participant == person_id, table.ended_at.is_null())


def people_called(desk: Desk, text: str) -> tuple[Hit, ...]:
    """The one participant of exactly this name or handle; else all who have a word beginning with each word typed."""
    try:
        row = person_named(text)
    except Refusal:
        return tuple(hit for hit in look_for(desk, text) if hit.person_id is not None)
    return (Hit(person_id=int(row.id), name=row.name, handle=row.handle, on_air_name=row.on_air_name),)


@dataclass(frozen=True, slots=True, kw_only=True)
class NewPerson:
    """A participant that the desk does not know yet."""

    name: str
    handle: str = ""
    on_air_name: str = ""
    channel: str = ""


def add_person(desk: Desk, request: NewPerson, key: int | None = None) -> Result:
    """Adds a participant."""

    def work(a: Act) -> str:
        name = " ".join(request.name.split())
        if not name:
            raise refuse("A participant needs a name.")
        if models.Participant.get_or_none(models.Participant.folded == folded(name)) is not None:
            raise refuse(f"{name} is in the desk already.", "Use another spelling if it is somebody else.")
        row = models.Participant.create(
            name=name, folded=folded(name), handle=request.handle.strip(), on_air_name=request.on_air_name.strip(),
            channel=request.channel.strip(),
        )  # fmt: skip
        found = words.words_of(name, request.handle, request.on_air_name)
        words.rewrite_words(a.desk.database, "participant", int(row.id), found)
        a.line("participant", int(row.id), "added")
        return f"{name} is added."

    return act(desk, "add participant", work, key)


def promise(desk: Desk, name: str, on: date, text: str, key: int | None = None) -> Result:
    """Logs a call and what was promised: it comes back among the decisions on its day."""

    def work(a: Act) -> str:
        if on < a.day:
            raise refuse(f"{day_in_words(on)} is past.", "Name today or a later day.")
        if not text.strip():
            raise refuse("Say in a few words what was promised.")
        person = person_named(name)
        row = models.FollowUp.create(participant=person.id, due_on=on, text_id=a.text(text).get("text"))
        a.line("participant", int(person.id), "promised", {"follow_up": int(row.id), "on": on.isoformat()})
        return f"{person.name}: comes back on {weekday_in_words(on)}."

    return act(desk, "promise", work, key)


def kept_promise(desk: Desk, follow_up_id: int, key: int | None = None) -> Result:
    """A promise to a participant was kept."""

    def work(a: Act) -> str:
        row = models.FollowUp.get_or_none(models.FollowUp.id == follow_up_id)
        if row is None or row.done_on is not None:
            raise refuse("That promise is settled already.")
        models.FollowUp.update(done_on=a.day).where(models.FollowUp.id == follow_up_id).execute()
        a.line("participant", row.participant_id, "promise kept", {"follow_up": follow_up_id})
        return "The promise is kept."

    return act(desk, "promise kept", work, key)


def set_wish(desk: Desk, name: str, wish: str, key: int | None = None) -> Result:
    """What a participant generally wants when a maker offers another card."""

    def work(a: Act) -> str:
        if wish not in WISHES:
            raise refuse(f"{wish} is not a wish here.", "Use wait, take or ask.")
        person = person_named(name)
        models.Participant.update(wish=wish).where(models.Participant.id == person.id).execute()
        a.line("participant", int(person.id), "wish", {"wish": wish})
        return f"{person.name}'s wish is kept."

    return act(desk, "wish", work, key)
