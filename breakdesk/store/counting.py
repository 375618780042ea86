"""Counts what waits today from the indexed due days, without making a claim of every row.

Each count here is exact where its docstring says so; `desk/counting.py` adds what only the rules can tell.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date
from typing import Any

from breakdesk.rules.claim import Claim as Facts
from breakdesk.store.claims import read_claims
from breakdesk.store.engine import is_value, run
from breakdesk.store.models import StrictSqlite

# The plus sign keeps a desk file's engine from taking the index of what is on hold for a way to nearly every claim.
_FREE = (
    "+claim.on_hold = 0 AND (claim.owner_id IS NULL "
    "OR claim.owner_id NOT IN (SELECT participant.id FROM participant WHERE participant.on_hold = 1))"
)
"""Not on hold, neither itself nor with its owner."""
_NO_REPLY_ONLY = "claim.state = 'submitted' AND claim.owner_kind IN ('person', 'house', 'nobody')"
"""A claim that can wait for one decision alone: that its maker did not reply, or that somebody wanted to look again."""
_REFUSED = "claim.state = 'refused' AND claim.owner_kind IN ('person', 'house', 'nobody')"
_OTHERS = f"""
(claim.state IN ('pulled', 'offered', 'in_hand', 'shipped')
    AND claim.owner_kind IN ('person', 'house', 'nobody', 'several') AND claim.decide_from <= ?
OR claim.state IN ('submitted', 'refused') AND claim.owner_kind = 'several' AND claim.decide_from <= ?
OR {_REFUSED} AND claim.follow_up_on IS NOT NULL
OR {_NO_REPLY_ONLY} AND claim.decide_from > ? AND claim.decide_from <= ?)
"""


def claims_to_submit(database: StrictSqlite) -> list[Facts]:
    """Every claim that was pulled and not submitted, those on hold left out."""
    return list(read_claims(database, f"claim.state = 'pulled' AND {_FREE}"))


def asks_by_maker(database: StrictSqlite, days: Iterable[tuple[int | None, date]]) -> dict[int | None, int]:
    """How many claims may be asked about by a day of each maker; exact but for what is parked."""
    counts: dict[int | None, int] = {}
    # One short search a maker: its claims stand together in the index, in the order of their days.
    for maker_id, day in days:
        sql = (
            f"SELECT count(*) FROM claim WHERE claim.state = 'submitted' AND {is_value('claim.maker_id', maker_id)} "
            f"AND claim.ask_from <= ? AND claim.ask_held = 0 AND {_FREE}"
        )
        values = [value for value in (maker_id, day.isoformat()) if value is not None]
        counts[maker_id] = int(run(database, sql, values).fetchone()[0])
    return counts


def people_to_tell(database: StrictSqlite, day: date) -> dict[int, date]:
    """Who is to be told by a day and since when, people on hold left out; exact but for claims on hold and parking."""
    rows = run(
        database,
        "SELECT id, tell_due_on FROM participant WHERE tell_due_on <= ? AND on_hold = 0",
        (day.isoformat(),),
    )
    return {person_id: date.fromisoformat(due) for person_id, due in rows}


def people_with_held_claims(database: StrictSqlite) -> set[int]:
    """Everybody who owns a claim that is itself on hold, or for whom there is news of one."""
    rows = run(
        database,
        "SELECT owner_id FROM claim WHERE on_hold = 1 AND owner_id IS NOT NULL UNION "
        "SELECT claim_news.participant_id FROM claim JOIN claim_news ON claim_news.claim_id = claim.id "
        "WHERE claim.on_hold = 1",
    )
    return {row[0] for row in rows}


def people_to_ship_to(database: StrictSqlite) -> set[int]:
    """Everybody with a card in hand, or a claim card to be given, that is not on hold; exact but for parking."""
    here = "SELECT claim.owner_id FROM claim WHERE {} AND claim.owner_kind = 'person' AND claim.owner_id IS NOT NULL"
    parts = ("claim.state = 'in_hand'", "claim.state = 'pulled' AND claim.plan = 'give'")
    sql = " UNION ".join(f"{here.format(part)} AND {_FREE}" for part in parts)
    return {row[0] for row in run(database, sql)}


def no_replies(database: StrictSqlite, day: date) -> int:
    """How many claims wait for a decision by a day only because nobody replied or a follow-up is due.

    Exact but for parking, where the day has come both for the house and for the claim's maker.
    """
    sql = f"SELECT count(*) FROM claim WHERE claim.decide_from <= ? AND {_NO_REPLY_ONLY} AND {_FREE}"
    return int(run(database, sql, (day.isoformat(),)).fetchone()[0])


def refusals(database: StrictSqlite) -> dict[date, int]:
    """How many refused claims wait for nothing but to be made good, by its day; exact but for parking."""
    sql = (
        f"SELECT claim.refused_on, count(*) FROM claim WHERE {_REFUSED} AND claim.follow_up_on IS NULL AND {_FREE} "
        "GROUP BY claim.refused_on"
    )
    return {date.fromisoformat(day): count for day, count in run(database, sql) if day is not None}


def other_decisions(database: StrictSqlite, certain: date, last: date) -> list[Facts]:
    """Claims whose decisions only the rules can count: all but those that `no_replies` and `refusals` count.

    `certain` is the day that `no_replies` was given; claims that fall due after it and by `last` are here as well.
    """
    days = (last.isoformat(), last.isoformat(), certain.isoformat(), last.isoformat())
    return list(read_claims(database, f"{_OTHERS} AND {_FREE}", days))


def among(database: StrictSqlite, claim_ids: Collection[int]) -> list[Facts]:
    """Some claims that are not on hold: what is parked, to be taken out of the counts."""
    found: list[Facts] = []
    wanted = sorted(claim_ids)
    for start in range(0, len(wanted), 500):
        part = wanted[start : start + 500]
        marks = ", ".join("?" for _ in part)
        values: list[Any] = list(part)
        found += read_claims(database, f"claim.id IN ({marks}) AND {_FREE}", values)
    return found
