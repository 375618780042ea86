"""Finds the participants to write to by what they are to hear, counted by the engine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from breakdesk.store.engine import run
from breakdesk.store.models import StrictSqlite


@dataclass(frozen=True, slots=True)
class ToHear:
    """A participant who has something to hear: how many claims with untold news, and how many that wait."""

    person_id: int
    name: str
    handle: str
    on_air_name: str
    channel: str
    opted_out: bool
    on_hold: bool
    last_told_on: date | None
    tell_due_on: date | None
    news: int
    waiting: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """Which participants are meant; empty parts do not narrow it.

    `told_before` means told for the last time before that day, or never; `due_by` that their next telling has come;
    `person_ids` names some by hand.
    """

    news: str = ""
    maker_id: int | None = None
    break_id: int | None = None
    told_before: date | None = None
    due_by: date | None = None
    person_ids: tuple[int, ...] = ()


# Counted in one pass each: counting anew for every participant takes a hundred times as long.
_COLUMNS = """
SELECT participant.id, participant.name, participant.handle, participant.on_air_name, participant.channel,
       participant.opted_out, participant.on_hold, participant.last_told_on, participant.tell_due_on,
       coalesce(untold.claims, 0), coalesce(waiting.claims, 0)
  FROM participant
  LEFT JOIN (SELECT claim_news.participant_id AS person_id, count(*) AS claims
               FROM claim_news JOIN claim ON claim.id = claim_news.claim_id
              WHERE claim.on_hold = 0 {of_news} GROUP BY claim_news.participant_id) AS untold
    ON untold.person_id = participant.id
  LEFT JOIN (SELECT claim.owner_id AS person_id, count(*) AS claims
               FROM claim LEFT JOIN claim_news
                 ON claim_news.claim_id = claim.id AND claim_news.participant_id = claim.owner_id
              WHERE claim.state = 'submitted' AND claim.on_hold = 0 AND claim.owner_id IS NOT NULL
                AND claim_news.id IS NULL {of_claims} GROUP BY claim.owner_id) AS waiting
    ON waiting.person_id = participant.id
"""
_HAS_SOMETHING = """
participant.merged_into_id IS NULL AND participant.erased_on IS NULL AND
(participant.id IN (SELECT participant_id FROM claim_news)
 OR participant.id IN (SELECT owner_id FROM claim WHERE state NOT IN ('closed', 'void') AND owner_id IS NOT NULL))
"""


def people_to_hear(database: StrictSqlite, wanted: Conditions) -> list[ToHear]:
    """Participants who have open claims or untold news, by folded name."""
    parts: list[str] = [_HAS_SOMETHING]
    values: list[Any] = []
    named, of_news, of_claims = wanted.person_ids, "", ""
    if named:
        marks = ", ".join("?" for _ in named)
        of_news, of_claims = f"AND claim_news.participant_id IN ({marks})", f"AND claim.owner_id IN ({marks})"
        parts.append(f"participant.id IN ({marks})")
        values = [*named, *named, *named]

    def narrow(condition: str, *given: Any) -> None:
        parts.append(condition)
        values.extend(given)

    if wanted.news == "any":
        narrow("participant.id IN (SELECT participant_id FROM claim_news)")
    elif wanted.news:
        narrow("participant.id IN (SELECT participant_id FROM claim_news WHERE word = ?)", wanted.news)
    for column, key in (("maker_id", wanted.maker_id), ("break_id", wanted.break_id)):
        if key is not None:
            narrow(
                f"(participant.id IN (SELECT owner_id FROM claim WHERE {column} = ? AND owner_id IS NOT NULL "
                "AND state NOT IN ('closed', 'void')) OR participant.id IN (SELECT claim_news.participant_id FROM "
                f"claim_news JOIN claim ON claim.id = claim_news.claim_id WHERE claim.{column} = ?))",
                key,
                key,
            )
    if wanted.told_before is not None:
        narrow("(last_told_on IS NULL OR last_told_on < ?)", wanted.told_before.isoformat())
    if wanted.due_by is not None:
        narrow("tell_due_on <= ?", wanted.due_by.isoformat())
    columns = _COLUMNS.format(of_news=of_news, of_claims=of_claims)
    sql = f"{columns} WHERE {' AND '.join(parts)} ORDER BY participant.folded, participant.id"
    return [_row(row) for row in run(database, sql, values)]


def _row(row: Sequence[Any]) -> ToHear:
    key, name, handle, on_air, channel, opted_out, on_hold, told, due, news, waiting = row
    return ToHear(
        key, name, handle, on_air, channel, bool(opted_out), bool(on_hold), _day(told), _day(due), news, waiting
    )


def _day(text: str | None) -> date | None:
    return date.fromisoformat(text) if text else None
