"""What the decide round shows of one case: the claim or the promise, what is known, and which choices there are."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Result, refuse
from breakdesk.desk.submit_cards import SubmitCard, submit_card
from breakdesk.desk.telling_view import latest_text, offer_of
from breakdesk.rules import clocks
from breakdesk.rules.claim import HOUSE_PARTY, Claim
from breakdesk.rules.parcel_states import TROUBLE
from breakdesk.rules.parties import Maker
from breakdesk.rules.rounds.decide import is_late_to_make_good
from breakdesk.rules.wording import day_in_words, weekday_in_words
from breakdesk.store import history, models
from breakdesk.store.parties import read_people

PROPOSED = {"accepts": "try", "ask_first": "ask", "refuses": "close", "unknown": "ask"}
"""What a maker's policy on expired cards proposes."""
CHOICES = {
    "refused": ("refunded", "credited", "replaced", "bought_out", "terms"),
    "expired_at_pull": ("try", "ask", "refuse", "close", "void"),
    "offer": ("take", "wait", "decline"),
    "owner": ("draw", "choose", "house"),
    "failed_submission": ("again", "reading", "refuse", "close", "void"),
    "lost": ("back", "delivered", "refunded", "credited", "replaced", "bought_out"),
    "not_answering": ("aside",),
    "follow_up": ("done", "new_day"),
}
"""The choices for each reason, before what is known of the claim adds or leaves out some."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DecideCard:
    """One claim that waits for the house."""

    card: SubmitCard
    candidates: tuple[tuple[int, str, str, str], ...]
    """Key, name, handle and on-air name of each participant who may own it; the house stands last by its key."""
    wish: str
    policy: str
    proposed: str
    late: bool
    reply_by: date | None
    said: str
    """What was written with what brought it here: the offer, the refusal, the promise."""
    choices: tuple[str, ...]


def decide_card(desk: Desk, tag: str, why: str) -> DecideCard | None:
    """A claim as the decide round shows it; None where there is none."""
    card = submit_card(desk, tag)
    if card is None:
        return None
    claim = card.view.claim
    house, maker = card.view.parties.house, card.view.parties.maker_of(claim)
    people = read_people(desk.database, claim.candidates)
    the_house = ((HOUSE_PARTY, house.name, "", house.name),) if HOUSE_PARTY in claim.candidates else ()
    owner = None if claim.owner_id is None else models.Participant.get_by_id(claim.owner_id)
    policy = _policy(claim, maker)
    return DecideCard(
        card=card,
        candidates=tuple(
            (key, people[key].name, people[key].handle, people[key].on_air_name)
            for key in claim.candidates
            if key in people
        )
        + the_house,
        wish="" if owner is None else owner.wish,
        policy=policy,
        proposed=PROPOSED[policy] if why == "expired_at_pull" else "",
        late=is_late_to_make_good(claim, house, house.today(card.now)),
        reply_by=clocks.reply_by(claim, house) if claim.state == "offered" else None,
        said=_said(claim, why),
        choices=_choices(claim, why, policy),
    )


def _policy(claim: Claim, maker: Maker) -> str:
    return maker.terms.on("expired_policy", claim.pull_day)


def _said(claim: Claim, why: str) -> str:
    kinds = {
        "refused": ("refused",),
        "offer": ("offered",),
        "not_answering": ("offered",) if claim.state == "offered" else (),
        "failed_submission": ("submit_failed",),
        "lost": ("lost",),
        "follow_up": ("follow_up",),
    }.get(why, ())
    return next((text for text in (_text(claim, kind) for kind in kinds) if text), "")


def _text(claim: Claim, kind: str) -> str:
    return offer_of(claim) if kind == "offered" else latest_text(claim, kind)


def _choices(claim: Claim, why: str, policy: str) -> tuple[str, ...]:
    found = list(CHOICES[why])
    if why == "refused" and claim.owner_kind == "house":
        found = ["kept"]
    if why == "expired_at_pull":
        found.sort(key=lambda choice: choice != PROPOSED[policy])
    if why == "offer" and claim.offer_answer is not None:
        found = ["pass_on", *(choice for choice in found if choice != claim.offer_answer)]
    if why == "not_answering":
        found = {
            "offered": ["wait", "take", "decline"],
            "in_hand": ["confirmed", "unclaimed"],
            "shipped": ["delivered", *TROUBLE],
        }.get(claim.state, []) + found
    if why == "follow_up" and claim.state == "submitted" and claim.last_asked_on is not None and not claim.answer:
        found = ["answer", *found]
    return tuple(found)


@dataclass(frozen=True, slots=True)
class PromiseCard:
    """A promise made to a participant whose day has come."""

    id: int
    person_id: int
    name: str
    handle: str
    on_air_name: str
    due_on: date
    text: str


def promise_card(desk: Desk, promise_id: int) -> PromiseCard | None:
    """A promise as the decide round shows it; None where it is gone."""
    row = models.FollowUp.get_or_none(models.FollowUp.id == promise_id)
    if row is None:
        return None
    person = models.Participant.get_by_id(row.participant_id)
    text = history.text_of(row.text_id) or ""
    return PromiseCard(row.id, person.id, person.name, person.handle, person.on_air_name, row.due_on, text)


def move_promise(desk: Desk, promise_id: int, on: date, reason: str, key: int | None = None) -> Result:
    """A promise gets another day: the old one ends, and the same words are promised anew."""

    def work(a: Act) -> str:
        table = models.FollowUp
        row = table.get_or_none(table.id == promise_id)
        if row is None or row.done_on is not None:
            raise refuse("That promise is settled already.")
        if on <= a.day:
            raise refuse(f"{day_in_words(on)} is not later than today.", "Name a later day.")
        if not reason.strip():
            raise refuse("Moving a promise needs a reason.", "A few words are enough.")
        table.update(done_on=a.day).where(table.id == promise_id).execute()
        moved = table.create(participant=row.participant_id, due_on=on, text_id=row.text_id)
        a.line("participant", row.participant_id, "promise moved", {"follow_up": promise_id, **a.text(reason)})
        a.line("participant", row.participant_id, "promised", {"follow_up": int(moved.id), "on": on.isoformat()})
        return f"The promise comes back on {weekday_in_words(on)}."

    return act(desk, "promise", work, key)


def parcel_of(desk: Desk, tag: str) -> int | None:
    """The parcel that a claim's card went out in; None where it went in none of the desk's."""
    row = models.Claim.get_or_none(models.Claim.tag == tag)
    return None if row is None else row.parcel_id
