"""The five rounds: what a person can do today, and nothing that cannot be done.

`today_lists` takes the claims that could matter and the parties, and gives the five lists in the order
in which they are walked. The same function serves the present, a day in the past and a test.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from operator import attrgetter

from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.days import Age, age, band
from breakdesk.rules.names import folded
from breakdesk.rules.parties import House, Maker, Person

NO_MAKER = Maker()


@dataclass(frozen=True, slots=True, kw_only=True)
class Parties:
    """Everybody a set of claims concerns, by key."""

    house: House
    makers: Mapping[int, Maker]
    people: Mapping[int, Person]

    def maker_of(self, claim: Claim) -> Maker:
        """The claim's maker; one with the stated defaults where none is known."""
        return self.makers.get(claim.maker_id, NO_MAKER) if claim.maker_id is not None else NO_MAKER

    def owner_name(self, claim: Claim) -> str | None:
        """Who is owed: a participant's name, the house's, or None for several or nobody yet."""
        if claim.owner_kind == "house":
            return self.house.name
        return self.people[claim.owner_id].name if claim.owner_id is not None else None


@dataclass(frozen=True, slots=True)
class Parked:
    """Items put aside until a later day, by round: claims' ids, for tell and ship participants' ids."""

    items: Collection[tuple[str, int]] = frozenset()

    def has(self, round_name: str, item_id: int | None) -> bool:
        """Whether the item is put aside in this round."""
        return item_id is not None and (round_name, item_id) in self.items


@dataclass(frozen=True, slots=True)
class ToSubmit:
    claim: Claim
    submit_by: datetime | None
    expired: bool


@dataclass(frozen=True, slots=True)
class ToAsk:
    claim: Claim
    ask_from: date
    age: Age
    band: str


@dataclass(frozen=True, slots=True)
class MakerToAsk:
    maker: Maker
    open_now: bool
    opens_at: datetime | None
    claims: tuple[ToAsk, ...]


@dataclass(frozen=True, slots=True)
class ToTell:
    claim: Claim
    news: str
    since: date


@dataclass(frozen=True, slots=True)
class PersonToTell:
    person: Person
    due_on: date
    items: tuple[ToTell, ...]


@dataclass(frozen=True, slots=True)
class PersonToShip:
    person: Person
    address_confirmed: bool
    claims: tuple[Claim, ...]


@dataclass(frozen=True, slots=True)
class ToDecide:
    """What waits for the house: about a claim, or a promise made to a participant (then without a claim)."""

    claim: Claim | None
    participant: str | None
    why: str
    since: date
    promise_id: int | None = None


@dataclass(frozen=True, slots=True)
class Promise:
    """Something promised to a participant on a day."""

    id: int
    person_id: int
    due_on: date


@dataclass(frozen=True, slots=True)
class Today:
    """The five lists as of one instant."""

    as_of: datetime
    submit: tuple[ToSubmit, ...]
    ask: tuple[MakerToAsk, ...]
    tell: tuple[PersonToTell, ...]
    ship: tuple[PersonToShip, ...]
    decide: tuple[ToDecide, ...]


def today_lists(
    claims: Iterable[Claim],
    parties: Parties,
    now: datetime,
    parked: Parked | None = None,
    promises: Iterable[Promise] = (),
) -> Today:
    """The five lists at `now`. What is parked or on hold is in none of them."""
    parked = parked or Parked()
    claims = list(claims)
    free = [claim for claim in claims if not is_held(claim, parties)]
    return Today(
        as_of=now,
        submit=to_submit(free, parties, now, parked),
        ask=to_ask(free, parties, now, parked),
        tell=to_tell(claims, parties, now, parked),
        ship=to_ship(free, parties, now, parked),
        decide=to_decide(free, parties, now, parked, promises),
    )


def is_held(claim: Claim, parties: Parties) -> bool:
    """Whether a claim is on hold, itself or with its owner."""
    if claim.on_hold:
        return True
    return claim.owner_id is not None and parties.people[claim.owner_id].on_hold


def name_order(name: str | None) -> tuple[str, str]:
    """The order of names in every list: folded, then as written; nobody first."""
    return (folded(name), name) if name else ("", "")


def waits_for_choice(claim: Claim, maker: Maker) -> bool:
    """Whether a pulled claim's card had expired at the pull and nobody chose what to do with it."""
    return claim.state == "pulled" and claim.expired_choice != "try" and clocks.expired_at_pull(claim, maker)


def to_submit(claims: Iterable[Claim], parties: Parties, now: datetime, parked: Parked) -> tuple[ToSubmit, ...]:
    """Pulled claims that the house submits: seen on camera first, then the soonest submit-by."""
    items = []
    for claim in claims:
        if claim.state != "pulled" or claim.plan != "submit" or claim.failed_on is not None:
            continue
        maker = parties.maker_of(claim)
        if waits_for_choice(claim, maker) or parked.has("submit", claim.id):
            continue
        due = clocks.submit_by(claim, parties.house, maker)
        items.append(ToSubmit(claim, due, clocks.is_expired(claim, maker, now)))
    far = datetime.max.replace(tzinfo=now.tzinfo)
    items.sort(key=lambda item: (not item.claim.seen_on_camera, item.submit_by or far, item.claim.tag))
    return tuple(items)


def to_ask(claims: Iterable[Claim], parties: Parties, now: datetime, parked: Parked) -> tuple[MakerToAsk, ...]:
    """Makers with at least one claim that they may be asked about, open or not."""
    house_today = parties.house.today(now)
    line = parties.house.start_line
    dates: dict[int | None, date] = {}
    ages: dict[date, tuple[Age, str]] = {}
    by_maker: dict[int | None, list[ToAsk]] = {}
    for claim in claims:
        if claim.state != "submitted" or claim.submitted_on is None or claim.ask_held:
            continue
        maker = parties.maker_of(claim)
        start = clocks.ask_from(claim, maker, line)
        if maker.id not in dates:
            dates[maker.id] = maker.today(now)
        if start is None or start > dates[maker.id] or parked.has("ask", claim.id):
            continue
        if claim.submitted_on not in ages:
            waited = age(min(claim.submitted_on, house_today), house_today)
            ages[claim.submitted_on] = waited, band(waited.days)
        by_maker.setdefault(maker.id, []).append(ToAsk(claim, start, *ages[claim.submitted_on]))
    makers = [
        _maker_to_ask(parties.makers[maker_id] if maker_id is not None else NO_MAKER, items, now)
        for maker_id, items in by_maker.items()
    ]
    return tuple(sorted(makers, key=lambda item: name_order(item.maker.name)))


def _maker_to_ask(maker: Maker, items: list[ToAsk], now: datetime) -> MakerToAsk:
    open_now = maker.is_open(now)
    ordered = tuple(sorted(items, key=attrgetter("claim.tag")))
    return MakerToAsk(maker, open_now, None if open_now else maker.opening_after(now), ordered)


def telling_days(claims: Iterable[Claim], parties: Parties) -> dict[int, date]:
    """For each participant with a reason to be told, the earliest day of all the reasons.

    Reasons are untold news, a reminder, and the silence of somebody who has submitted claims.
    """
    days: dict[int, date] = {}
    oldest: dict[int, date] = {}

    def falls_due(person_id: int, day: date) -> None:
        days[person_id] = min(day, days.get(person_id, day))

    for claim in claims:
        for item in claim.news:
            falls_due(item.person_id, clocks.news_due(item, parties.house))
        if claim.owner_id is None:
            continue
        if claim.state == "submitted" and claim.submitted_on is not None:
            oldest[claim.owner_id] = min(claim.submitted_on, oldest.get(claim.owner_id, claim.submitted_on))
        if claim.state in clocks.STATES_WITH_REMINDERS:
            reminder = clocks.reminder(claim, parties.people[claim.owner_id], parties.house)
            if reminder is not None and reminder.due is not None:
                falls_due(claim.owner_id, reminder.due)
    for person_id, submitted_on in oldest.items():
        silence = clocks.silence_due(
            parties.people[person_id].last_told_on, submitted_on, parties.house, person_id
        )
        if silence is not None:
            falls_due(person_id, silence)
    return days


def to_tell(claims: Iterable[Claim], parties: Parties, now: datetime, parked: Parked) -> tuple[PersonToTell, ...]:
    """Participants with a telling whose day has come, with all that is untold and what else they wait for."""
    # The hold of a participant is theirs alone: who owned their claim before still hears what became of it.
    claims = [claim for claim in claims if not claim.on_hold]
    today = parties.house.today(now)
    due = {
        person_id: day
        for person_id, day in telling_days(claims, parties).items()
        if day <= today and not parked.has("tell", person_id) and not parties.people[person_id].on_hold
    }
    items: dict[int, list[ToTell]] = {person_id: [] for person_id in due}
    for claim in claims:
        if not claim.news and claim.owner_id not in items:
            continue
        for person_id, item in what_to_tell(claim, parties, today):
            if person_id in items:
                items[person_id].append(item)
    people = [
        PersonToTell(parties.people[person_id], due[person_id], tuple(sorted(lines, key=lambda item: item.claim.tag)))
        for person_id, lines in items.items()
    ]
    return tuple(sorted(people, key=lambda item: name_order(item.person.name)))


def what_to_tell(claim: Claim, parties: Parties, today: date) -> Iterable[tuple[int, ToTell]]:
    """What a message would say of one claim, by the participant it concerns: news, a reminder, or that it waits."""
    for news in claim.news:
        yield news.person_id, ToTell(claim, news.word, news.since)
    if claim.owner_id is None:
        return
    reminder = clocks.reminder(claim, parties.people[claim.owner_id], parties.house)
    if reminder is not None and reminder.due is not None and reminder.due <= today:
        yield claim.owner_id, ToTell(claim, reminder.word, reminder.due)
    is_news = any(news.person_id == claim.owner_id for news in claim.news)
    if claim.state == "submitted" and claim.submitted_on is not None and not is_news:
        yield claim.owner_id, ToTell(claim, "waiting", claim.submitted_on)


def can_go_out(claim: Claim) -> bool:
    """Whether a participant's card, or the claim card meant for them, is here to be sent."""
    return claim.owner_kind == "person" and (
        claim.state == "in_hand" or (claim.state == "pulled" and claim.plan == "give")
    )


def to_ship(claims: Iterable[Claim], parties: Parties, now: datetime, parked: Parked) -> tuple[PersonToShip, ...]:
    """Participants with a card in hand or a claim card to be given."""
    today = parties.house.today(now)
    by_person: dict[int, list[Claim]] = {}
    for claim in claims:
        if can_go_out(claim) and claim.owner_id is not None and not parked.has("ship", claim.owner_id):
            by_person.setdefault(claim.owner_id, []).append(claim)
    people = []
    for person_id, items in by_person.items():
        person = parties.people[person_id]
        confirmed = person.address_is_confirmed(parties.house, today)
        people.append(PersonToShip(person, confirmed, tuple(sorted(items, key=lambda claim: claim.tag))))
    return tuple(sorted(people, key=lambda item: name_order(item.person.name)))


def to_decide(
    claims: Iterable[Claim], parties: Parties, now: datetime, parked: Parked, promises: Iterable[Promise] = ()
) -> tuple[ToDecide, ...]:
    """What waits for the house itself, each with the day on which it began to wait."""
    today = parties.house.today(now)
    dates: dict[int | None, date] = {}
    items = []
    for claim in claims:
        if not claim.is_open or _simply_waits(claim) or parked.has("decide", claim.id):
            continue
        if claim.maker_id not in dates:
            dates[claim.maker_id] = parties.maker_of(claim).today(now)
        for why, since in reasons_to_decide(claim, parties, dates[claim.maker_id], today):
            items.append(ToDecide(claim, parties.owner_name(claim), why, since))
    items += [
        ToDecide(None, parties.people[promise.person_id].name, "follow_up", promise.due_on, promise.id)
        for promise in promises
        if promise.due_on <= today and not parties.people[promise.person_id].on_hold
    ]
    orders = {name: name_order(name) for name in {item.participant for item in items}}
    items.sort(key=lambda item: (orders[item.participant], item.claim.tag if item.claim else "", item.why))
    return tuple(items)


def reasons_to_decide(claim: Claim, parties: Parties, maker_today: date, today: date) -> Iterable[tuple[str, date]]:
    """Why a claim waits for the house on a day, and since when; with the last of all days, why it ever will."""
    maker = parties.maker_of(claim)
    if claim.state != "submitted":
        yield from _reasons_of_state(claim, maker, parties, today)
    if claim.owner_kind == "several" and claim.owner_since is not None:
        yield "owner", claim.owner_since
    days = []
    if claim.follow_up_on is not None and claim.follow_up_on <= today:
        days.append(claim.follow_up_on)
    silent = clocks.no_reply_from(claim, parties.house, maker)
    if silent is not None and silent <= maker_today:
        days.append(silent)
    if days:
        yield "follow_up", min(days)


def _simply_waits(claim: Claim) -> bool:
    """Whether a claim is with its maker and nothing else is open about it, as most are: there is nothing to decide."""
    if claim.state != "submitted" or claim.follow_up_on is not None or claim.owner_kind == "several":
        return False
    return claim.last_asked_on is None or claim.answer is not None


def _reasons_of_state(claim: Claim, maker: Maker, parties: Parties, today: date) -> Iterable[tuple[str, date]]:
    """What only a claim can wait for that is not simply with its maker."""
    if claim.state == "refused" and claim.refused_on is not None:
        yield "refused", claim.refused_on
    if waits_for_choice(claim, maker):
        yield "expired_at_pull", claim.pull_day
    offer_from = _offer_from(claim, parties.house)
    if offer_from is not None and offer_from <= today:
        yield "offer", offer_from
    if claim.state == "pulled" and claim.failed_on is not None:
        yield "failed_submission", claim.failed_on
    if claim.state == "shipped" and claim.lost_on is not None:
        yield "lost", claim.lost_on
    unanswered = _unanswered_from(claim, parties)
    if unanswered is not None and unanswered <= today:
        yield "not_answering", unanswered


def decide_from(claim: Claim, parties: Parties) -> date | None:
    """The first day on which the claim waits for a decision if nothing else happens; None where it never will."""
    if not claim.is_open:
        return None
    return min((since for _, since in reasons_to_decide(claim, parties, date.max, date.max)), default=None)


def _offer_from(claim: Claim, house: House) -> date | None:
    if claim.state != "offered":
        return None
    if claim.offer_answered_on is not None:
        return claim.offer_answered_on
    last = clocks.reply_by(claim, house)
    if last is None or claim.offered_on is None:
        return None
    return max(last - timedelta(days=2), claim.offered_on)


def _unanswered_from(claim: Claim, parties: Parties) -> date | None:
    if claim.owner_id is None or claim.state not in clocks.STATES_WITH_REMINDERS:
        return None
    reminder = clocks.reminder(claim, parties.people[claim.owner_id], parties.house)
    return reminder.unanswered_from if reminder is not None else None


def is_late_to_make_good(claim: Claim, house: House, today: date) -> bool:
    """Whether a refusal has gone without being made good for longer than the house allows itself."""
    if claim.state != "refused" or claim.refused_on is None:
        return False
    return is_late_refusal(claim.refused_on, house, today)


def is_late_refusal(refused_on: date, house: House, today: date) -> bool:
    """Whether what was refused on a day, and is not made good yet, has gone without for too long."""
    return today > refused_on + timedelta(days=house.terms.count_on("make_good_within_days", refused_on))
