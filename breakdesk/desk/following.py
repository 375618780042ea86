"""Promises with a day, holds, notes, and items put aside."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import STATE_WORDS, claim_named, person_named
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.wording import day_in_words, weekday_in_words
from breakdesk.store import models
from breakdesk.store.past import HELD, RELEASED

ROUNDS = ("submit", "ask", "tell", "ship", "decide")


def follow_up(desk: Desk, tag: str, on: date, text: str = "", key: int | None = None) -> Result:
    """A promise about a claim: it comes back among the decisions on its day."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        if not claim.is_open:
            raise refuse(
                f"Claim {claim.tag} is {STATE_WORDS[claim.state]}: nothing more waits on it.",
                "Promise it to the person.",
            )
        if on < a.day:
            raise refuse(f"{day_in_words(on)} is past.", "Name today or a later day.")
        if claim.follow_up_on not in (None, on):
            a.warnings.append(f"This takes the place of what was promised for {day_in_words(claim.follow_up_on)}.")
        a.add_in_order(claim, "follow_up", {"on": on.isoformat(), **a.text(text)})
        return f"{claim.tag} comes back on {weekday_in_words(on)}."

    return act(desk, "follow up", work, key)


def followed_up(desk: Desk, tag: str, note: str = "", key: int | None = None) -> Result:
    """The promise was kept. An ask without a reply is settled by this, too."""

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        no_reply = claim.state == "submitted" and claim.last_asked_on is not None and claim.answer is None
        if claim.follow_up_on is None and not no_reply:
            raise refuse(f"Nothing was promised on {claim.tag}, and no ask waits for a reply.")
        a.add_in_order(claim, "followed_up", a.text(note))
        if no_reply:
            # Without days of its own the next ask keeps the maker's rhythm: the maker has said nothing.
            a.add_in_order(claim, "answered", {"answer": "no_news"})
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

    return act(desk, "note", work, key, beside=True)


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
        if bool(person.on_hold) == on:
            raise refuse(f"{person.name} is {'on hold already' if on else 'not on hold'}.")
        if on and not reason.strip():
            raise refuse("A hold needs a reason.", "Say in a few words why nothing may go out.")
        a.line("participant", int(person.id), HELD if on else RELEASED, a.text(reason))
        a.people.add(int(person.id))
        return f"{person.name} is {'on hold: nothing goes out' if on else 'released'}."

    return act(desk, "hold person", work, key)


def park(desk: Desk, round_name: str, item_id: int, until: date, reason: str, key: int | None = None) -> Result:
    """Puts an item of a round aside until a day, with a reason. Tell and ship park a participant, the rest a claim."""
    return park_items(desk, round_name, (item_id,), until, reason, key)


def park_items(
    desk: Desk, round_name: str, item_ids: Sequence[int], until: date, reason: str, key: int | None = None
) -> Result:
    """Puts several items of a round aside together, such as all claims of a maker in the ask round."""

    def work(a: Act) -> str:
        if round_name not in ROUNDS:
            raise refuse(f"{round_name} is not a round.", f"Use one of: {', '.join(ROUNDS)}.")
        if not item_ids:
            raise refuse("Nothing was named that could be put aside.")
        if until <= a.day:
            raise refuse(f"{day_in_words(until)} is not later than today.", "Name a later day.")
        if not reason.strip():
            raise refuse("Putting something aside needs a reason.", "A few words are enough.")
        text_id = a.text(reason).get("text")
        thing = "parked participant" if round_name in ("tell", "ship") else "parked claim"
        for item_id in dict.fromkeys(item_ids):
            models.Park.create(round=round_name, item_id=item_id, until=until, text_id=text_id, action_key=a.key)
            a.line(thing, item_id, "parked", {"round": round_name, "until": until.isoformat()})
        return f"Put aside until {weekday_in_words(until)}."

    return act(desk, "park", work, key)
