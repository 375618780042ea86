"""Promises with a day, holds, notes, and items put aside."""

from __future__ import annotations

from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named, person_named
from breakdesk.desk.problems import Result, refuse
from breakdesk.store import models

ROUNDS = ("submit", "ask", "tell", "ship", "decide")


def follow_up(desk: Desk, tag: str, on: date, text: str = "", key: int | None = None) -> Result:
    """A promise about a claim: it comes back among the decisions on its day."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if on < a.day:
            raise refuse(f"{on:%Y-%m-%d} is past.", "Name today or a later day.")
        a.add_in_order(claim, "follow_up", {"on": on.isoformat(), **a.text(text)})
        return f"{claim.tag} comes back on {on:%A %Y-%m-%d}."

    return act(desk, "follow up", work, key)


def followed_up(desk: Desk, tag: str, note: str = "", key: int | None = None) -> Result:
    """The promise was kept. An ask without a reply is settled by this, too."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        a.add_in_order(claim, "followed_up", a.text(note))
        if claim.state == "submitted" and claim.last_asked_on is not None and claim.answer is None:
            a.add_in_order(claim, "answered", {"answer": "no_news", "days": 30})
        return f"{claim.tag}: followed up."

    return act(desk, "followed up", work, key)


def note(desk: Desk, tag: str, text: str, *, is_news: bool = False, key: int | None = None) -> Result:
    """A note on a claim; marked as news it is told to the participant."""

    def work(a: Act) -> str:
        if not text.strip():
            raise refuse("The note is empty.")
        claim = claim_named(a, tag)
        body = a.text(text)
        if is_news:
            body["news"] = 1
        a.add_in_order(claim, "noted", body)
        return f"Noted on {claim.tag}."

    return act(desk, "note", work, key)


def hold(desk: Desk, tag: str, reason: str, key: int | None = None) -> Result:
    """Puts a claim on hold, as when a payment is disputed: nothing goes out until it is released."""

    def work(a: Act) -> str:
        if not reason.strip():
            raise refuse("A hold needs a reason.", "Say in a few words why nothing may go out.")
        claim = claim_named(a, tag)
        if claim.on_hold:
            raise refuse(f"{claim.tag} is on hold already.")
        a.add_in_order(claim, "held", a.text(reason))
        return f"{claim.tag} is on hold: it is in no round until you release it."

    return act(desk, "hold", work, key)


def release(desk: Desk, tag: str, key: int | None = None) -> Result:
    """Ends a hold."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if not claim.on_hold:
            raise refuse(f"{claim.tag} is not on hold.")
        a.add_in_order(claim, "released")
        return f"{claim.tag} is released."

    return act(desk, "release", work, key)


def hold_person(desk: Desk, name: str, *, on: bool, reason: str = "", key: int | None = None) -> Result:
    """Holds or releases everything that is owed to a participant."""

    def work(a: Act) -> str:
        person = person_named(name)
        models.Participant.update(on_hold=on).where(models.Participant.id == person.id).execute()
        a.line("participant", int(person.id), "held" if on else "released", a.text(reason))
        a.people.add(int(person.id))
        return f"{person.name} is {'on hold: nothing goes out' if on else 'released'}."

    return act(desk, "hold person", work, key)


def park(desk: Desk, round_name: str, item_id: int, until: date, reason: str, key: int | None = None) -> Result:
    """Puts an item of a round aside until a day, with a reason. Tell and ship park a participant, the rest a claim."""

    def work(a: Act) -> str:
        if round_name not in ROUNDS:
            raise refuse(f"{round_name} is not a round.", f"Use one of: {', '.join(ROUNDS)}.")
        if until <= a.day:
            raise refuse(f"{until:%Y-%m-%d} is not later than today.", "Name a later day.")
        if not reason.strip():
            raise refuse("Putting something aside needs a reason.", "A few words are enough.")
        models.Park.create(
            round=round_name, item_id=item_id, until=until, text_id=a.text(reason).get("text"), action_key=a.key
        )
        thing = "participant" if round_name in ("tell", "ship") else "claim"
        a.line(thing if thing == "participant" else "parked claim", item_id, "parked", {"until": until.isoformat()})
        return f"Put aside until {until:%A %Y-%m-%d}."

    return act(desk, "park", work, key)


def parked_now(day: date) -> frozenset[tuple[str, int]]:
    """What is put aside on a day, by round and key."""
    table = models.Park
    rows = table.select().where(table.until > day, table.undone == False)  # noqa: E712 - peewee builds SQL from it
    return frozenset((row.round, row.item_id) for row in rows)
