"""One maker, all its claims: it collapses, is bought, moves or changes its ways, and one action says so everywhere."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import maker_named
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.claim import Event
from breakdesk.rules.names import folded
from breakdesk.rules.story import active, standing
from breakdesk.rules.wording import counted, day_in_words, weekday_in_words
from breakdesk.store import maker_marks, models
from breakdesk.store.parties import read_house

MARK, CLEAR = "mark maker", "clear maker"
LONGEST_MARK = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkMaker:
    """What happened to a maker, in free words, and what follows for all claims that it has still to fill.

    `text` goes to every participant who waits, as news; empty for none. `review_on` is the day on which the house looks
    at the maker again; until then its claims are not asked about where `hold_asks` is set. `successor` names the maker
    that carries on.
    """

    maker: str
    what: str
    review_on: date
    text: str = ""
    hold_asks: bool = True
    successor: str = ""


def mark_maker(desk: Desk, request: MarkMaker, key: int | None = None) -> Result:
    """Marks a maker and all its open claims at once; undone as one."""

    def work(a: Act) -> str:
        maker = maker_named(request.maker)
        what = " ".join(request.what.split())
        if not what:
            raise refuse("Say in a few words what happened to the maker.", "Such as: has closed, or was bought.")
        if len(what) > LONGEST_MARK:
            raise refuse(f"That is longer than {LONGEST_MARK} letters.", "Keep the longer story for the text.")
        if request.review_on <= a.day:
            raise refuse(f"{day_in_words(request.review_on)} is not later than today.", "Name a later day.")
        body = {**a.text(what), "review_on": request.review_on.isoformat()}
        if request.successor.strip():
            successor = maker_named(request.successor)
            if successor.id == maker.id:
                raise refuse("A maker cannot follow itself.", "Name the maker that carries on, or none.")
            body["successor"] = int(successor.id)
        claims = a.claims(maker_marks.open_at_maker(a.desk.database, int(maker.id)))
        said = a.text(request.text)
        for claim in claims:
            a.add_in_order(claim, "noted", {**said, "news": 1} if said else {"text": body["text"]})
        waiting = [claim.id for claim in claims if claim.state == "submitted"] if request.hold_asks else []
        maker_marks.park_asks(a.desk.database, waiting, request.review_on, body["text"], a.key)
        a.line("maker", int(maker.id), maker_marks.MARKED, body)
        maker_marks.write_mark(int(maker.id), body)
        return _said(maker.name, len(claims), len(waiting), request)

    return act(desk, MARK, work, key)


def look_again(desk: Desk, maker: str, on: date, key: int | None = None) -> Result:
    """Moves the day on which a marked maker is looked at again; what is held until then is held until the new day."""

    def work(a: Act) -> str:
        row = maker_named(maker)
        marks = active(maker_marks.mark_events(a.desk.database, int(row.id)))
        if not row.status or not marks:
            raise refuse(f"{row.name} is not marked.", "Say first what happened to it.")
        if on <= a.day:
            raise refuse(f"{day_in_words(on)} is not later than today.", "Name a later day.")
        body = {**marks[-1].body, "review_on": on.isoformat()}
        held = maker_marks.claims_held(a.desk.database, [event.action for event in marks], row.review_on)
        maker_marks.park_asks(a.desk.database, held, on, body.get("text"), a.key)
        a.line("maker", int(row.id), maker_marks.MARKED, body)
        maker_marks.write_mark(int(row.id), body)
        asked = " Its claims are not asked about before." if held else ""
        return f"{row.name} comes back on {weekday_in_words(on)}.{asked}"

    return act(desk, MARK, work, key)


def _said(name: str, claims: int, waiting: int, request: MarkMaker) -> str:
    parts = [f"{name} is marked; {counted(claims, 'claim')} of it noted."]
    if waiting:
        parts.append(f"None of them is asked about before {day_in_words(request.review_on)}.")
    if request.text.strip():
        parts.append("Everybody who waits has news to be told.")
    return " ".join(parts)


def clear_maker(desk: Desk, maker: str, key: int | None = None) -> Result:
    """Takes a mark off a maker: its claims may be asked about again from today on."""

    def work(a: Act) -> str:
        row = maker_named(maker)
        if not row.status:
            raise refuse(f"{row.name} is not marked.")
        marks = active(maker_marks.mark_events(a.desk.database, int(row.id)))
        maker_marks.end_parking((event.action for event in marks), a.day)
        a.line("maker", int(row.id), maker_marks.MARKED)
        maker_marks.write_mark(int(row.id), None)
        return f"{row.name} is not marked any more."

    return act(desk, CLEAR, work, key)


def take_back_mark(a: Act, action: models.Action, root: models.Action, maker_id: int) -> None:
    """The maker's side of an undo: its mark, and the claims put aside with it. Undoing an undo does it again."""
    events = maker_marks.mark_events(a.desk.database, maker_id)
    counting = standing(events) if action.kind == "undo" else active(events)
    if not counting or counting[-1].action != action.key:
        raise refuse("Something else was said of this maker after that, or it is undone already.", "Look at it first.")
    a.line("maker", maker_id, maker_marks.UNDONE, {"action": action.key})
    left = active([*events, Event(maker_marks.UNDONE, a.day, {"action": action.key}, a.key)])
    maker_marks.write_mark(maker_id, dict(left[-1].body) if left else None)
    models.Park.update(undone=action.kind != "undo").where(models.Park.action_key == root.key).execute()


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkedMaker:
    """A maker of which something is known that touches all its claims."""

    name: str
    what: str
    review_on: date | None
    is_due: bool
    """Whether the day to look at it again has come."""
    successor: str
    claims: int
    """How many claims it has still to fill."""


def marked_makers(desk: Desk) -> tuple[MarkedMaker, ...]:
    """The marked makers, those to be looked at again first."""
    today = read_house().today(desk.clock.as_of())
    table = models.Maker
    found = [
        MarkedMaker(
            name=row.name,
            what=row.status,
            review_on=row.review_on,
            is_due=row.review_on is not None and row.review_on <= today,
            successor=row.successor.name if row.successor is not None else "",
            claims=len(maker_marks.open_at_maker(desk.database, int(row.id))),
        )
        for row in table.select().where(table.status != "")
    ]
    return tuple(sorted(found, key=lambda item: (not item.is_due, item.review_on or date.max, folded(item.name))))
