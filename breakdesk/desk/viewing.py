"""What a person sees: today's lists, what is owed, and one claim with its story, as of any instant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from breakdesk.desk.desk import Desk
from breakdesk.desk.following import parked_now
from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.owed import Owed, owed_list
from breakdesk.rules.rounds import Parked, Parties, Promise, Today, today_lists
from breakdesk.store import history, models, windows, words
from breakdesk.store.claims import claim_with_tag, claims_with_keys, read_claims
from breakdesk.store.parties import read_house, read_parties
from breakdesk.store.projecting import people_in


@dataclass(frozen=True, slots=True)
class TodayView:
    """The five lists and everybody in them."""

    today: Today
    parties: Parties
    on_hold: int
    """Claims on hold, which are in no list."""


def today(desk: Desk) -> TodayView:
    """The five lists as of the desk's instant; facts dated later are left out."""
    now = desk.clock.as_of()
    day = read_house().today(now)
    claims, parties = _claims_as_of(desk, day, for_today=True)
    promises = _promises(day)
    missing = {promise.person_id for promise in promises} - set(parties.people)
    if missing:
        more = read_parties(desk.database, missing).people
        parties = replace(parties, people={**parties.people, **more})
    lists = today_lists(claims, parties, now, Parked(parked_now(day)), promises)
    held = sum(1 for claim in claims if claim.on_hold and claim.is_open)
    return TodayView(lists, parties, held)


def owed(desk: Desk, person_id: int | None = None) -> tuple[Owed, ...]:
    """What is owed as of the desk's instant, to everybody or to one participant."""
    now = desk.clock.as_of()
    day = read_house().today(now)
    claims, parties = _claims_as_of(desk, day, for_today=False, person_id=person_id)
    return tuple(item for item in owed_list(claims, parties, now) if person_id is None or item.person_id == person_id)


def _claims_as_of(
    desk: Desk, day: date, *, for_today: bool, person_id: int | None = None
) -> tuple[list[Claim], Parties]:
    latest = windows.latest_fact_day()
    if latest is not None and latest > day:
        past = windows.claims_as_of(desk.database, day)
        parties = read_parties(desk.database, people_in(past.claims))
        people = {key: past.person(person, day) for key, person in parties.people.items()}
        return past.claims, replace(parties, people=people)
    if for_today:
        claims = windows.claims_for_today(desk.database, day)
    else:
        claims = windows.open_claims(desk.database, None if person_id is None else [person_id])
        if person_id is not None:
            claims = _with_news_of(desk, claims, person_id)
    return claims, read_parties(desk.database, people_in(claims))


def _with_news_of(desk: Desk, claims: list[Claim], person_id: int) -> list[Claim]:
    """A participant's next telling depends on news about claims that are no longer theirs, too."""
    known = {claim.id for claim in claims}
    where = "claim.id IN (SELECT claim_id FROM claim_news WHERE participant_id = ?)"
    return claims + [claim for claim in read_claims(desk.database, where, [person_id]) if claim.id not in known]


def _promises(day: date) -> list[Promise]:
    table = models.FollowUp
    rows = table.select().where(table.done_on.is_null(), table.due_on <= day)
    return [Promise(row.id, row.participant_id, row.due_on) for row in rows]


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
