"""What a maker's history says of it: that it collapsed, was bought, moved or changed its ways."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from breakdesk.rules.claim import Event
from breakdesk.rules.rounds.items import Review
from breakdesk.rules.story import active
from breakdesk.store import models
from breakdesk.store.engine import insert_rows, run
from breakdesk.store.history import text_of
from breakdesk.store.models import StrictSqlite

MARKED, UNDONE = "marked", "undone"
_OPEN_AT_THE_MAKER = "state IN ('pulled', 'submitted', 'offered')"


def mark_events(database: StrictSqlite, maker_id: int) -> list[Event]:
    """The marks of a maker and their taking back, in the order recorded."""
    sql = (
        "SELECT kind, day, body, action_key FROM history_line "
        "WHERE thing = 'maker' AND thing_id = ? AND kind IN (?, ?) ORDER BY id"
    )
    rows = run(database, sql, (maker_id, MARKED, UNDONE))
    return [Event(kind, date.fromisoformat(day), json.loads(body), action) for kind, day, body, action in rows]


def reviews(database: StrictSqlite, day: date, *, in_the_past: bool = False) -> list[Review]:
    """The marked makers that are to be looked at again by a day; in the past by the marks that stood then."""
    if in_the_past:
        rows = _marked_on(database, day)
    else:
        sql = "SELECT id, name, status, review_on FROM maker WHERE status <> '' AND review_on <= ?"
        rows = run(database, sql, (day.isoformat(),)).fetchall()
    return [Review(key, name, what, date.fromisoformat(due)) for key, name, what, due in rows]


def _marked_on(database: StrictSqlite, day: date) -> Iterable[tuple[int, str, str, str]]:
    for maker_id, name in run(database, "SELECT id, name FROM maker").fetchall():
        marks = active([event for event in mark_events(database, maker_id) if event.day <= day])
        body = marks[-1].body if marks else {}
        if "review_on" in body and body["review_on"] <= day.isoformat():
            yield maker_id, name, text_of(body.get("text")) or "", body["review_on"]


def open_at_maker(database: StrictSqlite, maker_id: int) -> list[int]:
    """The keys of the claims that a maker has still to fill, submitted or not."""
    sql = f"SELECT id FROM claim WHERE maker_id = ? AND {_OPEN_AT_THE_MAKER} ORDER BY id"
    return [row[0] for row in run(database, sql, (maker_id,))]


def write_mark(maker_id: int, body: dict[str, Any] | None) -> None:
    """Sets a maker's mark to what a line of history says; none where nothing stands."""
    said = body or {}
    table = models.Maker
    review_on = said.get("review_on")
    table.update(
        status=text_of(said.get("text")) or "",
        review_on=None if review_on is None else date.fromisoformat(review_on),
        successor=said.get("successor"),
        version=table.version + 1,
    ).where(table.id == maker_id).execute()


def park_asks(
    database: StrictSqlite, claim_ids: Sequence[int], until: date, text_id: int | None, action_key: int
) -> None:
    """Puts claims aside in the ask round until a day."""
    columns = ("round", "item_id", "until", "text_id", "action_key", "undone")
    rows = (("ask", claim_id, until.isoformat(), text_id, action_key, 0) for claim_id in claim_ids)
    insert_rows(database, models.Park, columns, rows)


def claims_held(database: StrictSqlite, action_keys: Sequence[int], until: date | None) -> list[int]:
    """The claims, still with their maker, that some actions put aside in the ask round until a day."""
    if until is None or not action_keys:
        return []
    marks = ", ".join("?" for _ in action_keys)
    sql = (
        "SELECT DISTINCT park.item_id FROM park JOIN claim ON claim.id = park.item_id AND claim.state = 'submitted' "
        f"WHERE park.round = 'ask' AND park.undone = 0 AND park.until = ? AND park.action_key IN ({marks}) "
        "ORDER BY park.item_id"
    )
    return [row[0] for row in run(database, sql, (until.isoformat(), *action_keys))]


def end_parking(action_keys: Iterable[int], day: date) -> None:
    """Lets what some actions put aside come back on a day."""
    table = models.Park
    table.update(until=day).where(table.action_key.in_(list(action_keys)), table.until > day).execute()
