"""The tell round: one message a participant, and the record that it was told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from breakdesk.desk.acting import Act, act
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.outlook import MessageOutlook
from breakdesk.desk.problems import Result, refuse
from breakdesk.desk.viewing import product_names
from breakdesk.desk.ways import ways_to
from breakdesk.files.messages.channels import Message, channel_for
from breakdesk.files.messages.composing import tell_message
from breakdesk.files.messages.sources import Templates
from breakdesk.files.messages.views import ClaimLine, Need, NewsGroup, TellingView
from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.money import Money
from breakdesk.rules.parcel_states import told_of
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.items import ToTell
from breakdesk.rules.rounds.tell import what_to_tell
from breakdesk.rules.story import active
from breakdesk.rules.wording import counted
from breakdesk.store import history, models
from breakdesk.store.claims import claims_with_keys
from breakdesk.store.parties import read_house, read_makers, read_people
from breakdesk.store.projecting import claims_of_people, people_in

PEOPLE_AT_ONCE = 200
CODE_KNOWN = "The owner before knew its code."
OWNER_NOTES = ("It is yours now.", "It has gone to somebody else.")


@dataclass(frozen=True, slots=True)
class Telling:
    """What one participant would be told now: the items, the message, and the claims that it covers."""

    person_id: int
    items: tuple[ToTell, ...]
    view: TellingView
    message: Message
    claim_ids: tuple[int, ...]


def telling_for(
    desk: Desk, person_id: int, tone: str = "", channel: str = "", templates: Templates | None = None
) -> Telling:
    """Everything a participant would be told now, due or not, in their channel's shape; nothing of what is on hold."""
    return next(tellings_for(desk, [person_id], tone, channel, templates))


def tellings_for(
    desk: Desk, person_ids: Sequence[int], tone: str = "", channel: str = "", templates: Templates | None = None
) -> Iterator[Telling]:
    """The tellings of many participants in the order given, in constant memory.

    Without `channel` each is told by the way they prefer, or the one to fall back on. `templates` saves reading the
    wording anew.
    """
    templates = templates or house_templates(desk)
    makers = read_makers(desk.database)
    outlook = MessageOutlook(desk)
    for start in range(0, len(person_ids), PEOPLE_AT_ONCE):
        part = person_ids[start : start + PEOPLE_AT_ONCE]
        claims = [claim for claim in claims_of_people(desk.database, part) if not claim.on_hold]
        people = read_people(desk.database, people_in(claims) | set(part))
        parties = Parties(house=read_house(), makers=makers, people=people)
        today = parties.house.today(desk.clock.as_of())
        told: dict[int, list[ToTell]] = {person_id: [] for person_id in part}
        for claim in claims:
            for whom, item in what_to_tell(claim, parties, today):
                if whom in told:
                    told[whom].append(item)
        every = [item for items in told.values() for item in items]
        known = _Known(
            parties,
            today,
            product_names([item.claim for item in every]),
            {row.id: row for row in models.Participant.select().where(models.Participant.id.in_(part))},
            outlook.sentences([item.claim.id for item in every if item.news == "waiting"]),
        )
        ways = ways_to(desk, part, channel)
        limit = parties.house.terms.count_on("direct_limit", today)
        for person_id in part:
            items = tuple(told[person_id])
            row = known.rows[person_id]
            view = _view(row, items, known)
            message = tell_message(view, tone or known.tone, channel_for(ways[person_id].channel, limit), templates)
            yield Telling(person_id, items, view, message, tuple(dict.fromkeys(item.claim.id for item in items)))


def house_templates(desk: Desk) -> Templates | None:
    """The house's own wording; None where it has none."""
    folder = desk.folder / "templates"
    return Templates(folder) if folder.is_dir() else None


@dataclass(frozen=True, slots=True)
class _Known:
    """What the tellings of some participants are made from; `outlooks` are sentences by claim."""

    parties: Parties
    today: date
    products: dict[int, str]
    rows: dict[int, models.Participant]
    outlooks: dict[int, str]

    @property
    def tone(self) -> str:
        return self.parties.house.terms.on("tone", self.today)


def _view(row: models.Participant, items: tuple[ToTell, ...], known: _Known) -> TellingView:
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
        needs=tuple(_needs(person_id, items, parties, today)),
        news=news,
        waiting=tuple(groups.get("waiting", ())),
        next_update_on=today + timedelta(days=house.terms.count_on("update_every_days", today)),
    )


def _line(item: ToTell, known: _Known, person_id: int) -> ClaimLine:
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
        offer_what=latest_text(claim, "offered") if claim.state == "offered" else "",
        tracking=claim.tracking,
        closed_how=claim.settled_how or claim.closed_how or "",
        amount=Money(amount, currency) if amount is not None and currency is not None else None,
        outlook=known.outlooks.get(claim.id) if item.news == "waiting" else None,
        note=_note(item, person_id),
    )


def _note(item: ToTell, person_id: int) -> str:
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


def latest_text(claim: Claim, kind: str) -> str:
    """What was written last with an event of this kind; empty where nothing was or it was erased."""
    events = history.claim_events([claim.id])[claim.id]
    for event in reversed(events):
        if event.kind == kind and event.body.get("text") is not None:
            return history.text_of(event.body["text"]) or ""
    return ""


def _needs(person_id: int, items: tuple[ToTell, ...], parties: Parties, today: date) -> Iterable[Need]:
    person = parties.people[person_id]
    chosen = {item.claim.id: item.claim for item in items}
    for claim in chosen.values():
        if claim.state == "offered" and claim.offer_answered_on is None and claim.owner_id == person_id:
            yield Need(
                kind="choose",
                by=clocks.reply_by(claim, parties.house),
                tag=claim.tag,
                what=what_of(claim),
                offer_what=latest_text(claim, "offered"),
            )
    here = [claim for claim in chosen.values() if claim.state == "in_hand" and claim.owner_id == person_id]
    if here and not person.address_is_confirmed(parties.house, today):
        yield Need(kind="confirm_address", what=" and ".join(what_of(claim) for claim in here))
    for item in items:
        if item.news == "delivery":
            yield Need(kind="confirm_delivery", tag=item.claim.tag, what=what_of(item.claim))


def mark_told(
    desk: Desk,
    person_id: int,
    claim_ids: Iterable[int],
    channel: str,
    text: str,
    template: str = "",
    key: int | None = None,
) -> Result:
    """Records that a participant was told: all their untold news on these claims, and the silence starts anew."""

    def work(a: Act) -> str:
        person = models.Participant.get_or_none(models.Participant.id == person_id)
        if person is None:
            raise refuse("That participant is not in the desk any more.")
        wanted = list(dict.fromkeys(claim_ids))
        if not wanted:
            raise refuse(f"There is nothing to tell {person.name}.")
        record_telling(a, person_id, wanted, channel, text, template)
        return f"{person.name} is told about {counted(len(wanted), 'claim')}."

    return act(desk, "tell", work, key)


def record_telling(
    a: Act, person_id: int, claim_ids: Sequence[int], channel: str, text: str, template: str = ""
) -> None:
    """Keeps one telling with its exact text, and lets the news of these claims be told to the participant."""
    row = models.Telling.create(
        participant=person_id,
        day=a.day,
        told_at=a.happened,
        channel=channel,
        template=template,
        text_id=a.text(text).get("text"),
        action_key=a.key,
    )
    for claim in claims_with_keys(a.desk.database, claim_ids):
        models.TellingClaim.create(telling=row.id, claim=claim.id)
        a.add_in_order(claim, "told", {"person": person_id, "telling": int(row.id)})
    a.people.add(person_id)
