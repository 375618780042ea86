"""The ask round: writing to a maker about claims, held until its office opens, and what it answered."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claims_named, require_state
from breakdesk.desk.problems import Problem, Refusal, Result, refuse
from breakdesk.rules import clocks
from breakdesk.rules.claim import ANSWER_DAYS, ANSWERS, Claim
from breakdesk.rules.money import parse_money
from breakdesk.rules.parties import NO_MAKER, Maker
from breakdesk.rules.wording import counted, day_in_words
from breakdesk.rules.zones import in_zone
from breakdesk.store import models
from breakdesk.store.parties import read_house, read_makers

ANSWER_WORDS = {
    "no_news": "no news",
    "waits_signer": "waits for the signer",
    "being_made": "being made",
    "on_its_way": "on its way",
    "offers": "offers a replacement",
    "refuses": "refuses",
}


def ask(desk: Desk, tags: Sequence[str], text: str = "", key: int | None = None) -> Result:
    """Records a message to a maker about some of its claims: an ask where its office is open, else held."""

    def work(a: Act) -> str:
        claims = claims_named(a, tags)
        maker = _one_maker(a, claims)
        limit = a.house.terms.count_on("references_per_ask", a.day)
        if len(claims) > limit:
            raise refuse(f"One message names at most {limit} claims; this one has {len(claims)}.", "Send it in parts.")
        day = maker.today(a.happened)
        for claim in claims:
            a.require_order(claim)
            _check_may_ask(claim, maker, day)
        open_now = maker.is_open(a.happened)
        row = models.Ask.create(
            maker=maker.id,
            written_on=a.day,
            asked_on=day if open_now else None,
            held=not open_now,
            text_id=a.text(text).get("text"),
            action_key=a.key,
        )
        for claim in claims:
            models.AskClaim.create(ask=row.id, claim=claim.id)
            if open_now:
                a.add(claim.id, "asked", _asked_body(a, int(row.id)), day)
            else:
                a.add(claim.id, "ask_held", {"ask": int(row.id)})
        name = maker.name or "The maker"
        if open_now:
            return f"{name} was asked about {counted(len(claims), 'claim')}."
        opens = in_zone(maker.opening_after(a.happened), a.house.zone_at(a.happened))
        return (
            f"The office of {maker.name or 'the maker'} is closed. "
            f"The message is held until it opens, {opens:%A %H:%M} your time."
        )

    return act(desk, "ask", work, key)


def send_held(desk: Desk, ask_id: int, key: int | None = None) -> Result:
    """Sends a held message now that the office is open; only now is it an ask."""

    def work(a: Act) -> str:
        row, claims, maker = _held(a, ask_id)
        day = maker.today(a.happened)
        if not maker.is_open(a.happened):
            raise refuse(
                f"The office of {maker.name or 'the maker'} is still closed.", "The message waits until it opens."
            )
        still = [claim for claim in claims if claim.maker_id == row.maker_id and _is_due(claim, maker, day)]
        if not still:
            raise refuse("None of its claims waits to be asked about any more.", "Drop the message.")
        models.Ask.update(held=False, asked_on=day).where(models.Ask.id == row.id).execute()
        for claim in claims:
            a.require_order(claim)
            if claim in still:
                a.add(claim.id, "asked", _asked_body(a, ask_id), day)
            else:
                a.add(claim.id, "ask_dropped", {"ask": ask_id})
        return f"{maker.name or 'The maker'} was asked about {counted(len(still), 'claim')}."

    return act(desk, "send held ask", work, key)


def drop_held(desk: Desk, ask_id: int, key: int | None = None) -> Result:
    """Throws a held message away; its claims may be asked about again."""

    def work(a: Act) -> str:
        row, claims, maker = _held(a, ask_id)
        models.Ask.update(held=False, dropped=True).where(models.Ask.id == row.id).execute()
        for claim in claims:
            a.add_in_order(claim, "ask_dropped", {"ask": ask_id})
        return f"The held message to {maker.name or 'the maker'} is dropped."

    return act(desk, "drop held ask", work, key)


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What a maker said about some claims, by letter or on its status page.

    `days` is when to ask next, counted from the ask; None takes the usual days of the answer.
    """

    tags: Sequence[str]
    word: str
    note: str = ""
    days: int | None = None
    inbound_tracking: str = ""
    offer: str = ""
    offer_value: str = ""
    """What the offered card is worth, as typed: 40 or 40.00 EUR; empty where nobody knows."""
    reply_by: date | None = None


def answer(desk: Desk, request: Answer, key: int | None = None) -> Result:
    """Records what the maker answered about one or several claims."""

    return answers(desk, [request], key)


def answers(desk: Desk, requests: Sequence[Answer], key: int | None = None) -> Result:
    """Records everything that one letter or page of a maker said, all of it or nothing, to be undone as one."""

    def work(a: Act) -> str:
        claims: Counter[str] = Counter()
        for request in requests:
            claims[request.word] += _take(a, request)
        return " ".join(f"{counted(count, 'claim')}: {ANSWER_WORDS[word]}." for word, count in claims.items())

    return act(desk, "answer", work, key)


def _take(a: Act, request: Answer) -> int:
    """Records one answer; returns about how many claims it is."""
    if request.word not in ANSWERS:
        raise refuse(f"{request.word} is not one of the answers.", f"Use one of: {', '.join(ANSWERS)}.")
    if request.days is not None and not 1 <= request.days <= 730:
        raise refuse(f"{request.days} days is no time to wait.", "Use 1 to 730 days.")
    claims = claims_named(a, request.tags)
    if not claims:
        raise refuse("No claim was named.", "Name at least one.")
    for claim in claims:
        require_state(claim, "answered about", "submitted", "offered")
        _record_answer(a, claim, request)
    return len(claims)


def _record_answer(a: Act, claim: Claim, request: Answer) -> None:
    if request.word == "refuses":
        a.add_in_order(claim, "refused", a.text(request.note))
    elif request.word == "offers":
        if request.reply_by is not None and request.reply_by < a.day:
            raise refuse(
                f"The reply-by {day_in_words(request.reply_by)} is past.", "Check the date in the maker's letter."
            )
        body = a.text(request.offer or request.note)
        if request.offer_value.strip():
            try:
                worth = parse_money(request.offer_value, a.house.terms.on("currency", a.day))
            except ValueError as error:
                raise refuse(str(error)) from error
            body |= {"value": worth.minor, "currency": worth.currency}
        if request.reply_by is not None:
            body["reply_by"] = request.reply_by.isoformat()
        a.add_in_order(claim, "offered", body)
    else:
        body = {"answer": request.word, "days": request.days or ANSWER_DAYS[request.word]}
        body |= a.text(request.note)
        if request.word == "on_its_way":
            body["news"] = 1
        if request.inbound_tracking.strip():
            body["inbound_tracking"] = request.inbound_tracking.strip()
        a.add_in_order(claim, "answered", body)


def _one_maker(a: Act, claims: Sequence[Claim]) -> Maker:
    if not claims:
        raise refuse("No claim was named.", "Name at least one.")
    makers = {claim.maker_id for claim in claims}
    if len(makers) > 1:
        raise refuse("These claims are with different makers.", "Write one message to each maker.")
    maker_id = makers.pop()
    return NO_MAKER if maker_id is None else read_makers(a.desk.database)[maker_id]


def refusal_to_ask(desk: Desk, tags: Sequence[str], *, held: bool) -> Problem | None:
    """Why a message about some claims would be no ask now, but for the office hours; None where nothing hinders it."""

    def look(a: Act) -> None:
        claims = claims_named(a, tags)
        maker = _one_maker(a, claims)
        day = maker.today(a.happened)
        if held and not any(_is_due(claim, maker, day) for claim in claims):
            raise refuse("None of its claims waits to be asked about any more.", "Drop the message.")
        for claim in () if held else claims:
            a.require_order(claim)
            _check_may_ask(claim, maker, day)

    now = desk.clock.as_of()
    house = read_house()
    try:
        look(Act(desk, "ask", 0, now, house, house.today(now)))
    except Refusal as refusal:
        return refusal.problem
    return None


def _check_may_ask(claim: Claim, maker: Maker, day: date) -> None:
    require_state(claim, "asked about", "submitted")
    if claim.ask_held:
        raise refuse(f"{claim.tag} is in a message that is held already.", "Send or drop that one first.")
    start = clocks.ask_from(claim, maker)
    if start is not None and start > day:
        raise refuse(
            f"{claim.tag} may be asked about from {day_in_words(start)}.", "Looking at the maker's page is free."
        )


def _is_due(claim: Claim, maker: Maker, day: date) -> bool:
    start = clocks.ask_from(claim, maker)
    return start is not None and start <= day


def _asked_body(a: Act, ask_id: int) -> dict[str, object]:
    """An ask carries the maker's date as its day; the house's says what came before and after it."""
    return {"ask": ask_id, "house_day": a.day.isoformat()}


def _held(a: Act, ask_id: int) -> tuple[models.Ask, list[Claim], Maker]:
    row = models.Ask.get_or_none(models.Ask.id == ask_id)
    if row is None or not row.held or row.dropped:
        raise refuse("That message is not held any more.", "Look at the ask round again.")
    table = models.AskClaim
    ids = [link.claim_id for link in table.select().where(table.ask == ask_id)]
    maker = NO_MAKER if row.maker_id is None else read_makers(a.desk.database)[row.maker_id]
    return row, a.claims(ids), maker
