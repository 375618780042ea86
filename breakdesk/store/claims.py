"""Turns claim rows into the rules' claims and back, and finds them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields
from datetime import date
from functools import lru_cache
from typing import Any

from peewee import Expression

from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim as Facts
from breakdesk.rules.claim import News
from breakdesk.rules.clocks import microseconds_of
from breakdesk.rules.rounds import Parties, decide_from
from breakdesk.rules.tags import normalise_tag
from breakdesk.store.engine import run
from breakdesk.store.models import Claim, ClaimNews, StrictSqlite

COLUMNS: tuple[str, ...] = tuple(field.name for field in fields(Facts) if field.name != "news")
DUE_COLUMNS = ("submit_by", "ask_from", "decide_from")
_DAYS = frozenset(name for name in COLUMNS if name.endswith(("_on", "_since")) or name in ("pull_day", "reply_by"))
_FLAGS = frozenset({"seen_on_camera", "ask_held", "on_hold"})
_NEWS_COLUMNS = ("claim_id", "participant_id", "word", "since", "urgent", "earliest_urgent", "earliest_routine")
KEYS_AT_ONCE = 500

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
    row["phase_told"] = ";".join(day.isoformat() for day in facts.phase_told)
    return row


def due_columns(facts: Facts, parties: Parties) -> dict[str, Any]:
    """The days on which the claim falls due, as the rules say, in stored form."""
    maker = parties.maker_of(facts)
    open_to_submit = facts.state == "pulled"
    submit_by = clocks.submit_by(facts, parties.house, maker) if open_to_submit else None
    ask_from = clocks.ask_from(facts, maker)
    decide = decide_from(facts, parties)
    return {
        "submit_by": microseconds_of(submit_by) if submit_by else None,
        "ask_from": ask_from.isoformat() if ask_from else None,
        "decide_from": decide.isoformat() if decide else None,
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
            news.earliest_urgent.isoformat() if news.earliest_urgent else None,
            news.earliest_routine.isoformat() if news.earliest_routine else None,
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
    columns = ", ".join(f'claim."{name}"' for name in COLUMNS)
    rows = run(database, f"SELECT {columns} FROM claim {condition} ORDER BY claim.id", tuple(values))
    for row in rows:
        yield _facts(row, news.get(row[0], ()))


def _news_by_claim(database: StrictSqlite, condition: str, values: Sequence[Any]) -> dict[int, tuple[News, ...]]:
    columns = ", ".join(f"claim_news.{name}" for name in _NEWS_COLUMNS)
    rows = run(
        database,
        f"SELECT {columns} FROM claim_news JOIN claim ON claim.id = claim_news.claim_id {condition} "
        "ORDER BY claim_news.id",
        tuple(values),
    )
    news: dict[int, tuple[News, ...]] = {}
    for claim_id, person_id, word, since, urgent, first_urgent, first_routine in rows:
        item = News(
            word,
            _day(since),
            person_id,
            bool(urgent),
            _day(first_urgent) if first_urgent else None,
            _day(first_routine) if first_routine else None,
        )
        news[claim_id] = (*news.get(claim_id, ()), item)
    return news


_CONVERTED = tuple(
    (position, name in _FLAGS) for position, name in enumerate(COLUMNS) if name in _DAYS or name in _FLAGS
)
_CANDIDATES = COLUMNS.index("candidates")
_PHASE_TOLD = COLUMNS.index("phase_told")


def _facts(row: Sequence[Any], news: tuple[News, ...]) -> Facts:
    values = list(row)
    for position, is_flag in _CONVERTED:
        value = values[position]
        if is_flag:
            values[position] = bool(value)
        elif value is not None:
            values[position] = _day(value)
    candidates, phase_told = values[_CANDIDATES], values[_PHASE_TOLD]
    values[_CANDIDATES] = tuple(map(int, candidates.split(";"))) if candidates else ()
    values[_PHASE_TOLD] = tuple(map(_day, phase_told.split(";"))) if phase_told else ()
    return Facts(**dict(zip(COLUMNS, values, strict=True)), news=news)


def claims_with_keys(database: StrictSqlite, claim_ids: Iterable[int]) -> list[Facts]:
    """The claims with these keys, in order of their keys."""
    wanted = sorted(set(claim_ids))
    found: list[Facts] = []
    for start in range(0, len(wanted), KEYS_AT_ONCE):
        part = wanted[start : start + KEYS_AT_ONCE]
        marks = ", ".join("?" for _ in part)
        found += read_claims(database, f"claim.id IN ({marks})", part)
    return found


def claim_with_tag(tag: str) -> int | None:
    """The key of the claim with this tag, however it is typed."""
    row = Claim.select(Claim.id).where(Claim.tag_key == tag_key(tag)).first()
    return None if row is None else int(row.id)


def version_of(claim_id: int) -> int:
    """The version of a claim's row."""
    return int(Claim.select(Claim.version).where(Claim.id == claim_id).scalar())


def delete_news(claim_ids: Sequence[int]) -> None:
    """Forgets the stored news of some claims, before it is written anew."""
    for start in range(0, len(claim_ids), KEYS_AT_ONCE):
        condition: Expression = ClaimNews.claim.in_(claim_ids[start : start + KEYS_AT_ONCE])
        ClaimNews.delete().where(condition).execute()
