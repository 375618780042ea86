"""With a customer on the phone: everything owed to them, and an answer to copy."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import TYPE_CHECKING

from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.merging import MergedName, merged_names
from breakdesk.desk.told import tellings_of
from breakdesk.desk.viewing import owed, product_names
from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.owed import Owed
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.submit import waits_for_choice
from breakdesk.rules.story import active
from breakdesk.store import history, models
from breakdesk.store.claims import claim_with_tag, claims_with_keys
from breakdesk.store.parties import read_parties
from breakdesk.store.projecting import people_in

if TYPE_CHECKING:
    from breakdesk.files.messages.sources import Templates

LONGEST_QUOTE = 300


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
    last_told_at: datetime | None = None
    """The instant of the latest message, where it is known."""
    last_told_channel: str = ""
    fallback_channel: str = ""
    language: str = ""
    zone: str = ""
    email: str = ""
    phone: str = ""
    opted_out: bool = False
    erased: bool = False
    also: tuple[MergedName, ...] = ()
    """The records that were found to be the same person."""


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
    last = next((told for told in tellings_of(desk, person_id) if not told.undone), None)
    contact = models.Contact.get_or_none(models.Contact.participant == person_id)
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
        last_told_text="" if last is None else last.text or "",
        last_told_at=None if last is None else last.told_at,
        last_told_channel="" if last is None else last.channel,
        fallback_channel=row.fallback_channel,
        language=row.language,
        zone=row.zone,
        email="" if contact is None else contact.email,
        phone="" if contact is None else contact.phone,
        opted_out=bool(row.opted_out),
        erased=row.erased_on is not None,
        also=merged_names(desk, person_id),
        next_tell_on=row.tell_due_on,
        owed=found[0] if found else None,
        promises=tuple(
            (item.id, item.due_on, history.text_of(item.text_id) or "")
            for item in promises.select().where(promises.participant == person_id, promises.done_on.is_null())
        ),
    )


def answer_for_person(desk: Desk, person_id: int, templates: Templates | None = None) -> str:
    """A short answer about everything a participant waits for, in the house's wording or another."""
    view = person_view(desk, person_id)
    if view is None or view.owed is None:
        return ""
    claims = [(line.claim, line.next_tell) for line in view.owed.claims]
    return _answer(desk, view, claims, templates)


def answer_for_claim(desk: Desk, person_id: int, tag: str) -> str:
    """A short answer about one of a participant's claims, also where nothing is owed on it any more."""
    view, claim_id = person_view(desk, person_id), claim_with_tag(tag)
    if view is None or claim_id is None:
        return ""
    (claim,) = claims_with_keys(desk.database, [claim_id])
    open_claims = view.owed.claims if view.owed else ()
    next_tell = next((line.next_tell for line in open_claims if line.claim.id == claim_id), None)
    return _answer(desk, view, [(claim, next_tell)])


def _answer(
    desk: Desk, person: PersonView, lines: Sequence[tuple[Claim, date | None]], templates: Templates | None = None
) -> str:
    # A participant is looked at more often than answered, and messages take a while to load.
    from breakdesk.desk.telling import house_templates
    from breakdesk.files.messages.composing import answer_text
    from breakdesk.files.messages.views import AnswerClaim, AnswerView

    claims = [claim for claim, _ in lines]
    parties = read_parties(desk.database, people_in(claims))
    products = product_names(claims)
    events = history.claim_events([claim.id for claim in claims])
    answers = []
    today = parties.house.today(desk.clock.as_of())
    for claim, next_tell in lines:
        step, day = next_step(claim, parties, next_tell)
        answers.append(
            AnswerClaim(
                tag=claim.tag,
                what=what_of(claim),
                state=told_state(claim),
                product=products.get(claim.product_id or 0, ""),
                pulled_on=claim.pull_day,
                submitted_on=claim.submitted_on,
                asked_on=tuple(event.day for event in active(events[claim.id]) if event.kind == "asked"),
                last_told_on=claim.last_told_on,
                # Of several claims the day alone: the same words after each would bury the answer.
                last_told_text=_last_words(desk, person.id, claim.tag) if len(lines) == 1 else "",
                closed_how=claim.closed_how or "",
                tracking=claim.tracking,
                next_step=step,
                next_day=day if day is not None and day >= today else None,
            )
        )
    view = AnswerView(
        participant_name=person.name,
        house_name=parties.house.name,
        claims=tuple(answers),
        language=person.language or "en",
    )
    tone = parties.house.terms.on("tone", today)
    return answer_text(view, tone, templates or house_templates(desk))


def _last_words(desk: Desk, person_id: int, tag: str) -> str:
    """The latest message to a participant about a claim, as much of it as an answer can quote."""
    from breakdesk.files.messages.channels import shortened
    from breakdesk.files.messages.plain import plain_line

    for told in tellings_of(desk, person_id):
        if tag in told.tags and not told.undone:
            return shortened(plain_line(told.text or ""), LONGEST_QUOTE)
    return ""


def told_state(claim: Claim) -> str:
    """Where a card is for its participant, as a key of the messages' words: a trouble on the way before the state."""
    if claim.lost_how is not None:
        return claim.lost_how
    direct = claim.state == "submitted" and claim.ship_to == "participant" and claim.answer == "on_its_way"
    return "direct" if direct else claim.state


def next_step(claim: Claim, parties: Parties, next_tell: date | None) -> tuple[str, date | None]:
    """What happens next with a claim, as a key of the messages' words, and its day: an ask from it, all else by it."""
    house, maker = parties.house, parties.maker_of(claim)
    if claim.lost_how is not None:
        return "decide", None
    if told_state(claim) == "direct":
        return "arrive", None
    if claim.state == "pulled":
        if waits_for_choice(claim, maker) or claim.failed_on is not None:
            return "decide", None
        if claim.plan == "give":
            return "ship", None
        due = clocks.submit_by(claim, house, maker)
        return "submit", None if due is None else house.today(due)
    if claim.state == "submitted":
        return "ask", clocks.ask_from(claim, maker, house.start_line)
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
