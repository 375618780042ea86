"""What a maker's history says of it: that it collapsed, was bought, moved or changed its ways."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from breakdesk.rules.claim import Event
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


def end_parking(action_keys: Iterable[int], day: date) -> None:
    """Lets what some actions put aside come back on a day."""
    table = models.Park
    table.update(until=day).where(table.action_key.in_(list(action_keys)), table.until > day).execute()
