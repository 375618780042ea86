"""What a message is made from: the news of a participant grouped, what is needed of them, and what they wait for."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from breakdesk.desk.describing import what_of
from breakdesk.files.messages.language import money_text
from breakdesk.files.messages.views import ClaimLine, Need, NewsGroup, TellingView
from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.money import Money
from breakdesk.rules.parcel_states import told_of
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.items import ToTell
from breakdesk.rules.story import active
from breakdesk.store import history, models

CODE_KNOWN = "The owner before knew its code."
OWNER_NOTES = ("It is yours now.", "It has gone to somebody else.")


@dataclass(frozen=True, slots=True)
class Known:
    """What the tellings of some participants are made from; `outlooks` are sentences by claim."""

    parties: Parties
    today: date
    products: dict[int, str]
    rows: dict[int, models.Participant]
    outlooks: dict[int, str]

    @property
    def tone(self) -> str:
        """The tone that the house settled."""
        return self.parties.house.terms.on("tone", self.today)


def view_of(row: models.Participant, items: tuple[ToTell[Claim], ...], known: Known) -> TellingView:
    person_id, parties, today = int(row.id), known.parties, known.today
    groups: dict[str, list[ClaimLine]] = {}
    for item in items:
        groups.setdefault(item.news, []).append(_line(item, known, person_id))
    news = tuple(NewsGroup(word=word, claims=tuple(lines)) for word, lines in groups.items() if word != "waiting")
    house = parties.house
    return TellingView(
        participant_name=row.name,
        handle=row.handle,
        on_air_name=row.on_air_name,
        channel=row.channel,
        language=row.language or "en",
        zone=row.zone or house.zone_on(today),
        house_name=house.name,
        needs=tuple(_needs(person_id, items, parties, today, row.language)),
        news=news,
        waiting=tuple(groups.get("waiting", ())),
        next_update_on=today + timedelta(days=house.terms.count_on("update_every_days", today)),
    )


def _line(item: ToTell[Claim], known: Known, person_id: int) -> ClaimLine:
    claim, parties = item.claim, known.parties
    maker = parties.maker_of(claim)
    amount = claim.settled_amount if claim.settled_how else claim.closed_amount
    currency = claim.settled_currency if claim.settled_how else claim.closed_currency
    return ClaimLine(
        tag=claim.tag,
        what=what_of(claim),
        product=known.products.get(claim.product_id or 0, ""),
        maker=maker.name or "",
        pulled_on=claim.pull_day,
        submitted_on=claim.submitted_on,
        reply_by=clocks.reply_by(claim, parties.house) if claim.state == "offered" else None,
        offer_what=offer_of(claim, known.rows[person_id].language) if claim.state == "offered" else "",
        tracking=claim.tracking,
        closed_how=claim.settled_how or claim.closed_how or "",
        amount=Money(amount, currency) if amount is not None and currency is not None else None,
        outlook=known.outlooks.get(claim.id) if item.news == "waiting" else None,
        note=_note(item, person_id),
    )


def _note(item: ToTell[Claim], person_id: int) -> str:
    if item.news == "owner":
        if item.claim.owner_id != person_id:
            return OWNER_NOTES[1]
        return f"{OWNER_NOTES[0]} {CODE_KNOWN}" if _code_was_known(item.claim) else OWNER_NOTES[0]
    if item.news == "noted":
        if item.claim.answer == "on_its_way" and item.claim.ship_to == "participant":
            return "The maker says that it is on its way to you."
        if item.claim.answer == "on_its_way":
            return "The maker says that it is on its way to us."
        if item.claim.lost_how is not None:
            said = told_of(item.claim.lost_how)
            return f"{said[:1].upper()}{said[1:]}."
        return latest_text(item.claim, "noted")
    return ""


def _code_was_known(claim: Claim) -> bool:
    """Whether whoever passed the claim on knew its code."""
    owners = [event for event in active(history.claim_events([claim.id])[claim.id]) if event.kind == "owner"]
    return bool(owners and owners[-1].body.get("knew_code"))


def offer_of(claim: Claim, language: str = "en") -> str:
    """What the maker offers instead, with what it is worth where that is known; empty where nothing was written."""
    said = latest_text(claim, "offered")
    offers = [event for event in active(history.claim_events([claim.id])[claim.id]) if event.kind == "offered"]
    body = offers[-1].body if offers else {}
    if body.get("value") is None:
        return said
    worth = money_text(Money(body["value"], body["currency"]), language)
    return f"{said} (worth {worth})" if said else f"a card worth {worth}"


def latest_text(claim: Claim, kind: str) -> str:
    """What was written last with an event of this kind; empty where nothing was or it was erased."""
    events = history.claim_events([claim.id])[claim.id]
    for event in reversed(events):
        if event.kind == kind and event.body.get("text") is not None:
            return history.text_of(event.body["text"]) or ""
    return ""


def _needs(
    person_id: int, items: tuple[ToTell[Claim], ...], parties: Parties, today: date, language: str
) -> Iterable[Need]:
    person = parties.people[person_id]
    chosen = {item.claim.id: item.claim for item in items}
    for claim in chosen.values():
        if claim.state == "offered" and claim.offer_answered_on is None and claim.owner_id == person_id:
            yield Need(
                kind="choose",
                by=clocks.reply_by(claim, parties.house),
                tag=claim.tag,
                what=what_of(claim),
                offer_what=offer_of(claim, language),
            )
    here = [claim for claim in chosen.values() if claim.state == "in_hand" and claim.owner_id == person_id]
    if here and not person.address_is_confirmed(parties.house, today):
        yield Need(kind="confirm_address", what=" and ".join(what_of(claim) for claim in here))
    for item in items:
        if item.news == "delivery":
            yield Need(kind="confirm_delivery", tag=item.claim.tag, what=what_of(item.claim))
