"""Turns claim rows into the rules' claims and back, and finds them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from functools import lru_cache
from typing import Any

from peewee import Expression

from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim as Facts
from breakdesk.rules.claim import News, Waiting
from breakdesk.rules.clocks import microseconds_of
from breakdesk.rules.delay import notice_due_on
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.decide import decide_from
from breakdesk.rules.tags import normalise_tag
from breakdesk.store.engine import is_server, lock_rows, run
from breakdesk.store.models import Claim, ClaimNews, StrictSqlite
from breakdesk.store.shapes import Shape

_WHOLE, _WAITING = Shape(Facts), Shape(Waiting)
COLUMNS = _WHOLE.columns
DUE_COLUMNS = ("submit_by", "ask_from", "decide_from", "notice_from")
_NEWS_COLUMNS = ("claim_id", "participant_id", "word", "since", "urgent", "urgent_days", "routine_days")
_NEWS_SELECTED = ", ".join(f"claim_news.{name}" for name in _NEWS_COLUMNS)
_WITH_A_TELLING = "SELECT id FROM participant WHERE tell_due_on >= ''"
KEYS_AT_ONCE = 500
ROWS_AT_ONCE = 2000

_day = lru_cache(maxsize=8192)(date.fromisoformat)


def stored(facts: Facts) -> dict[str, Any]:
    """A claim's columns as they are stored, its due days left out."""
    row: dict[str, Any] = {}
    for name in COLUMNS:
        value = getattr(facts, name)
        if isinstance(value, date):
            value = value.isoformat()
        elif isinstance(value, bool):
            value = int(value)
        row[name] = value
    row["candidates"] = ";".join(map(str, facts.candidates))
    row["phase_told"] = _joined(facts.phase_told)
    return row


def _joined(days: Iterable[date]) -> str:
    return ";".join(day.isoformat() for day in days)


def _parted(days: str) -> tuple[date, ...]:
    return tuple(map(_day, days.split(";"))) if days else ()


def due_columns(facts: Facts, parties: Parties) -> dict[str, Any]:
    """The days on which the claim falls due, as the rules say, in stored form."""
    maker = parties.maker_of(facts)
    open_to_submit = facts.state == "pulled"
    submit_by = clocks.submit_by(facts, parties.house, maker) if open_to_submit else None
    ask_from = clocks.ask_from(facts, maker, parties.house.start_line)
    decide = decide_from(facts, parties)
    notice = notice_due_on(facts, parties.house)
    return {
        "submit_by": microseconds_of(submit_by) if submit_by else None,
        "ask_from": ask_from.isoformat() if ask_from else None,
        "decide_from": decide.isoformat() if decide else None,
        "notice_from": notice.isoformat() if notice else None,
    }


def news_rows(facts: Facts) -> list[tuple[Any, ...]]:
    """A claim's untold news in stored form, in the order of `NEWS_COLUMNS`."""
    return [
        (
            facts.id,
            news.person_id,
            news.word,
            news.since.isoformat(),
            int(news.urgent),
            _joined(news.urgent_days),
            _joined(news.routine_days),
        )
        for news in facts.news
    ]


NEWS_COLUMNS: Sequence[str] = _NEWS_COLUMNS


def tag_key(tag: str) -> str:
    """What a tag is found by: case, spaces and hyphens do not count."""
    return normalise_tag(tag)


def read_claims(database: StrictSqlite, where: str = "", values: Sequence[Any] = ()) -> Iterator[Facts]:
    """Claims with their news, in order of their keys, in constant memory.

    `where` is a condition of ours over the table `claim`; everything from outside goes into `values`.
    """
    condition = f"WHERE {where}" if where else ""
    news = _news_by_claim(database, condition, values)
    rows = run(database, f"SELECT {_WHOLE.selected} FROM claim {condition} ORDER BY claim.id", tuple(values))
    while chunk := rows.fetchmany(ROWS_AT_ONCE):
        yield from _WHOLE.made(chunk, news)


def read_waiting(database: StrictSqlite, where: str, values: Sequence[Any] = ()) -> list[Waiting]:
    """What the lists need of the claims that are with their makers, in any order; `where` as for `read_claims`."""
    # Whoever has untold news has a day of telling: so the news is found without looking at every claim for some.
    told = f"SELECT {_NEWS_SELECTED} FROM claim_news WHERE participant_id IN ({_WITH_A_TELLING}) ORDER BY id"
    news = _by_claim(run(database, told))
    sql = f"SELECT {_WAITING.selected} FROM claim WHERE claim.state = 'submitted' AND ({where})"
    rows = run(database, sql, tuple(values))
    found: list[Waiting] = []
    while chunk := rows.fetchmany(ROWS_AT_ONCE):
        found += _WAITING.made(chunk, news)
    return found


def _news_by_claim(database: StrictSqlite, condition: str, values: Sequence[Any]) -> dict[int, tuple[News, ...]]:
    sql = f"SELECT {_NEWS_SELECTED} FROM claim_news JOIN claim ON claim.id = claim_news.claim_id {condition} "
    return _by_claim(run(database, f"{sql} ORDER BY claim_news.id", tuple(values)))


def _by_claim(rows: Iterable[tuple[Any, ...]]) -> dict[int, tuple[News, ...]]:
    news: dict[int, tuple[News, ...]] = {}
    for claim_id, person_id, word, since, urgent, urgent_days, routine_days in rows:
        item = News(
            word,
            _day(since),
            person_id,
            bool(urgent),
            _parted(urgent_days),
            _parted(routine_days),
        )
        news[claim_id] = (*news.get(claim_id, ()), item)
    return news


def claims_with_keys(database: StrictSqlite, claim_ids: Iterable[int]) -> list[Facts]:
    """The claims with these keys, in order of their keys."""
    wanted = sorted(set(claim_ids))
    found: list[Facts] = []
    for start in range(0, len(wanted), KEYS_AT_ONCE):
        part = wanted[start : start + KEYS_AT_ONCE]
        marks = ", ".join("?" for _ in part)
        found += read_claims(database, f"claim.id IN ({marks})", part)
    return found


def lock_claims(database: StrictSqlite, claim_ids: Sequence[int]) -> None:
    """Keeps others from changing some claims, and what their owners are told, until the transaction ends."""
    if not claim_ids or not is_server(database):
        return
    marks = ", ".join("?" for _ in claim_ids)
    owners = run(
        database, f"SELECT DISTINCT owner_id FROM claim WHERE id IN ({marks}) AND owner_id IS NOT NULL", claim_ids
    )
    # Always the people first: two desks that lock the same rows in two orders would wait for each other for ever.
    lock_rows(database, "participant", [row[0] for row in owners])
    lock_rows(database, "claim", claim_ids)


def claim_with_tag(tag: str) -> int | None:
    """The key of the claim with this tag, however it is typed."""
    row = Claim.select(Claim.id).where(Claim.tag_key == tag_key(tag)).first()
    return None if row is None else int(row.id)


def delete_news(claim_ids: Sequence[int]) -> None:
    """Forgets the stored news of some claims, before it is written anew."""
    for start in range(0, len(claim_ids), KEYS_AT_ONCE):
        condition: Expression = ClaimNews.claim.in_(claim_ids[start : start + KEYS_AT_ONCE])
        ClaimNews.delete().where(condition).execute()
