"""With a customer on the phone: everything owed to them, and an answer to copy."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.viewing import owed, product_names
from breakdesk.files.messages.composing import answer_text
from breakdesk.files.messages.views import AnswerClaim, AnswerView
from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.owed import Owed, OwedClaim
from breakdesk.rules.rounds import Parties, waits_for_choice
from breakdesk.rules.story import active
from breakdesk.store import history, models
from breakdesk.store.parties import read_parties
from breakdesk.store.projecting import people_in


@dataclass(frozen=True, slots=True)
class PersonView:
    """A participant as the house knows them, with everything owed to them."""

    id: int
    name: str
    handle: str
    on_air_name: str
    channel: str
    wish: str
    on_hold: bool
    address: str
    address_country: str
    address_confirmed: bool
    last_told_on: date | None
    last_told_text: str
    next_tell_on: date | None
    owed: Owed | None
    promises: tuple[tuple[int, date, str], ...]
    """Key, day and words of each promise that is open."""


def person_view(desk: Desk, person_id: int) -> PersonView | None:
    """Everything about one participant; None where there is none."""
    row = models.Participant.get_or_none(models.Participant.id == person_id)
    if row is None:
        return None
    parties = read_parties(desk.database, [person_id])
    today = parties.house.today(desk.clock.as_of())
    table = models.Address
    address = table.get_or_none(table.participant == person_id, table.ended_at.is_null())
    promises = models.FollowUp
    found = owed(desk, person_id)
    return PersonView(
        id=person_id,
        name=row.name,
        handle=row.handle,
        on_air_name=row.on_air_name,
        channel=row.channel,
        wish=row.wish,
        on_hold=bool(row.on_hold),
        address="" if address is None else address.text,
        address_country="" if address is None else address.country,
        address_confirmed=parties.people[person_id].address_is_confirmed(parties.house, today),
        last_told_on=row.last_told_on,
        last_told_text=last_told_text(person_id),
        next_tell_on=row.tell_due_on,
        owed=found[0] if found else None,
        promises=tuple(
            (item.id, item.due_on, history.text_of(item.text_id) or "")
            for item in promises.select().where(promises.participant == person_id, promises.done_on.is_null())
        ),
    )


def last_told_text(person_id: int) -> str:
    """The words of the latest message to a participant; empty where none were kept."""
    table = models.Telling
    row = (
        table.select(table.text_id)
        .where(table.participant == person_id, table.undone == False)  # noqa: E712 - peewee builds SQL from it
        .order_by(table.day.desc(), table.id.desc())
        .first()
    )
    return "" if row is None else history.text_of(row.text_id) or ""


def answer_for_person(desk: Desk, person_id: int) -> str:
    """A short answer about everything a participant waits for."""
    view = person_view(desk, person_id)
    if view is None or view.owed is None:
        return ""
    return _answer(desk, view.name, tuple(view.owed.claims))


def answer_for_claim(desk: Desk, person_id: int, tag: str) -> str:
    """A short answer about one of a participant's claims."""
    view = person_view(desk, person_id)
    if view is None or view.owed is None:
        return ""
    return _answer(desk, view.name, tuple(line for line in view.owed.claims if line.claim.tag == tag))


def _answer(desk: Desk, name: str, lines: tuple[OwedClaim, ...]) -> str:
    claims = [line.claim for line in lines]
    parties = read_parties(desk.database, people_in(claims))
    products = product_names(claims)
    events = history.claim_events([claim.id for claim in claims])
    answers = []
    for line in lines:
        claim = line.claim
        step, by = next_step(claim, parties, line.next_tell)
        answers.append(
            AnswerClaim(
                tag=claim.tag,
                what=what_of(claim),
                state=claim.state,
                product=products.get(claim.product_id or 0, ""),
                pulled_on=claim.pull_day,
                submitted_on=claim.submitted_on,
                asked_on=tuple(event.day for event in active(events[claim.id]) if event.kind == "asked"),
                last_told_on=claim.last_told_on,
                closed_how=claim.closed_how or "",
                tracking=claim.tracking,
                next_step=step,
                next_by=by,
            )
        )
    view = AnswerView(participant_name=name, house_name=parties.house.name, claims=tuple(answers))
    return answer_text(view)


def next_step(claim: Claim, parties: Parties, next_tell: date | None) -> tuple[str, date | None]:
    """What happens next with a claim, as a key of the messages' words, and by which day."""
    house, maker = parties.house, parties.maker_of(claim)
    if claim.state == "pulled":
        if waits_for_choice(claim, maker) or claim.failed_on is not None:
            return "decide", None
        if claim.plan == "give":
            return "ship", None
        due = clocks.submit_by(claim, house, maker)
        return "submit", None if due is None else house.today(due)
    if claim.state == "submitted":
        return "ask", clocks.ask_from(claim, maker)
    if claim.state == "offered":
        return ("answer", None) if claim.offer_answered_on else ("choose", clocks.reply_by(claim, house))
    if claim.state == "in_hand":
        person = parties.people.get(claim.owner_id or 0)
        confirmed = person is not None and claim.in_hand_on is not None
        return ("ship", None) if confirmed else ("address", None)
    if claim.state == "shipped" and claim.shipped_on is not None:
        person = parties.people.get(claim.owner_id or 0)
        return "arrive", clocks.arrived_by(claim.shipped_on, person, house) if person else None
    if claim.state == "refused":
        return "make_good", None
    return ("update", next_tell) if claim.is_open else ("nothing", None)
