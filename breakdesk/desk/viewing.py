"""What a person sees: today's lists, what is owed, and one claim with its story, as of any instant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from breakdesk.desk.desk import Desk
from breakdesk.desk.promises import promises_due
from breakdesk.desk.uncollected import uncollected
from breakdesk.rules.claim import Claim, Event, Waiting
from breakdesk.rules.delay import delay_notices
from breakdesk.rules.owed import Owed, owed_list
from breakdesk.rules.parties import NO_MAKER, Maker, Parties
from breakdesk.rules.rounds.items import Parked, Today
from breakdesk.rules.rounds.today import is_held, today_lists
from breakdesk.store import history, maker_marks, models, windows, words
from breakdesk.store import past as store_past
from breakdesk.store.claims import claim_with_tag, claims_with_keys, read_claims
from breakdesk.store.notices import count_notices
from breakdesk.store.parties import read_parties, read_people
from breakdesk.store.projecting import people_in


@dataclass(frozen=True, slots=True)
class TodayView:
    """The five lists and everybody in them."""

    today: Today
    parties: Parties
    on_hold: int
    """Claims on hold, which are in no list."""
    notices: int
    """Claims of which a notice of delay is due; these are listed apart."""
    held: tuple[Maker, ...]
    """The makers to whom a message is held, by name."""


@uncollected()
def today(desk: Desk) -> TodayView:
    """The five lists as of the desk's instant; facts dated later are left out."""
    now = desk.clock.as_of()
    known = _known_for_today(desk, now)
    parties = known.parties
    day = parties.house.today(now)
    promises = promises_due(day)
    missing = {promise.person_id for promise in promises} - set(parties.people)
    if missing:
        parties = replace(parties, people={**parties.people, **read_people(desk.database, missing)})
    parked = Parked(store_past.parked_as_of(desk.database, day))
    reviews = maker_marks.reviews(desk.database, day, in_the_past=known.in_the_past)
    lists = today_lists(known.claims, parties, now, parked, promises, known.waiting, reviews)
    notices = len(delay_notices(known.claims, parties, now)) if known.in_the_past else count_notices(desk.database, day)
    held = {claim.maker_id for claim in known.claims if claim.ask_held}
    if not known.in_the_past:
        held = windows.makers_with_held_messages(desk.database)
    return TodayView(lists, parties, known.on_hold, notices, parties.makers_by_name(held))


@uncollected()
def owed(desk: Desk, person_id: int | None = None) -> tuple[Owed, ...]:
    """What is owed as of the desk's instant, to everybody or to one participant."""
    now = desk.clock.as_of()
    known = _known_open(desk, now, person_id)
    found = owed_list(known.claims, known.parties, now)
    return tuple(item for item in found if person_id is None or item.person_id == person_id)


@dataclass(frozen=True, slots=True)
class _Known:
    """What is known at an instant: claims whole, and what the lists need of those that `waiting` holds instead."""

    claims: list[Claim]
    waiting: list[Waiting]
    parties: Parties
    on_hold: int
    in_the_past: bool = False


def _known_for_today(desk: Desk, now: datetime) -> _Known:
    parties = read_parties(desk.database, ())
    past = _known_in_the_past(desk, now, parties)
    if past is not None:
        return past
    claims, waiting = windows.claims_for_today(desk.database, parties.house.today(now))
    return _with_people(desk, claims, waiting, parties)


def _known_open(desk: Desk, now: datetime, person_id: int | None) -> _Known:
    parties = read_parties(desk.database, ())
    past = _known_in_the_past(desk, now, parties)
    if past is not None:
        return past
    if person_id is None:
        claims = windows.open_claims(desk.database)
    else:
        claims = _with_news_of(desk, windows.open_claims(desk.database, [person_id]), person_id)
    return _with_people(desk, claims, [], parties)


def _with_people(desk: Desk, claims: list[Claim], waiting: list[Waiting], parties: Parties) -> _Known:
    people = read_people(desk.database, people_in(claims) | people_in(waiting))
    return _Known(claims, waiting, replace(parties, people=people), windows.count_on_hold(desk.database))


def _known_in_the_past(desk: Desk, now: datetime, parties: Parties) -> _Known | None:
    """All claims folded from the events up to an instant; None where nothing happened later."""
    database = desk.database
    day = parties.house.today(now)
    makers_days: dict[int | None, date] = {key: maker.today(now) for key, maker in parties.makers.items()}
    makers_days[None] = NO_MAKER.today(now)
    if not store_past.has_later_facts(database, day, makers_days):
        return None
    past = store_past.past_of(database, day, makers_days)
    people = read_people(database, people_in(past.claims))
    known = {key: past.person(person) for key, person in people.items()}
    parties = replace(parties, house=parties.house.as_of(day), people=known)
    held = sum(1 for claim in past.claims if claim.is_open and is_held(claim, parties))
    return _Known(past.claims, [], parties, held, in_the_past=True)


def _with_news_of(desk: Desk, claims: list[Claim], person_id: int) -> list[Claim]:
    """A participant's next telling depends on news about claims that are no longer theirs, too."""
    known = {claim.id for claim in claims}
    where = "claim.id IN (SELECT claim_id FROM claim_news WHERE participant_id = ?)"
    return claims + [claim for claim in read_claims(desk.database, where, [person_id]) if claim.id not in known]


@dataclass(frozen=True, slots=True)
class ClaimView:
    """One claim, its parties and its story; `told` and notes are in the order they were recorded."""

    claim: Claim
    parties: Parties
    product: str
    break_name: str
    account: str
    has_code: bool
    note: str | None
    events: tuple[Event, ...]


def claim_view(desk: Desk, tag: str) -> ClaimView | None:
    """A claim by its tag with its whole history; None where there is none."""
    claim_id = claim_with_tag(tag)
    if claim_id is None:
        return None
    (claim,) = claims_with_keys(desk.database, [claim_id])
    row = models.Claim.get_by_id(claim_id)
    break_row = None if claim.break_id is None else models.Break.get_by_id(claim.break_id)
    account = None if claim.account_id is None else models.Account.get_by_id(claim.account_id)
    return ClaimView(
        claim=claim,
        parties=read_parties(desk.database, people_in([claim])),
        product=product_names([claim]).get(claim.product_id or 0, ""),
        break_name="" if break_row is None else break_row.name,
        account="" if account is None else account.name,
        has_code=models.ClaimCode.select().where(models.ClaimCode.claim == claim_id).exists(),
        note=history.text_of(row.note_id),
        events=tuple(history.claim_events([claim_id])[claim_id]),
    )


def product_names(claims: Sequence[Claim]) -> dict[int, str]:
    """The names of the products of some claims."""
    wanted = sorted({claim.product_id for claim in claims if claim.product_id is not None})
    table = models.Product
    return {row.id: row.name for row in table.select(table.id, table.name).where(table.id.in_(wanted or [0]))}


@dataclass(frozen=True, slots=True)
class Found:
    """What a search came to: participants and claims, best first."""

    people: tuple[int, ...]
    claims: tuple[int, ...]


def search(desk: Desk, text: str, limit: int = 50) -> Found:
    """Participants and claims that have a word beginning with each word typed."""
    people = words.find(desk.database, text, "participant", limit)
    claims = words.find(desk.database, text, "claim", limit)
    return Found(tuple(people), tuple(claims))
