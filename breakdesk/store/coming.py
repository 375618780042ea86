"""How much falls due on each of the coming days, from the indexed due days."""

from __future__ import annotations

from datetime import date

from breakdesk.store.engine import run
from breakdesk.store.models import StrictSqlite


def tellings_by_day(database: StrictSqlite, first: date, last: date) -> dict[date, int]:
    """How many participants are to be told on each day, both ends included; days without one are left out."""
    sql = "SELECT tell_due_on, count(*) FROM participant WHERE tell_due_on BETWEEN ? AND ? GROUP BY tell_due_on"
    return _by_day(database, sql, first, last)


def asks_by_day(database: StrictSqlite, first: date, last: date) -> dict[date, int]:
    """How many claims may first be asked about on each day, both ends included."""
    sql = (
        "SELECT ask_from, count(*) FROM claim WHERE state = 'submitted' AND ask_from BETWEEN ? AND ? GROUP BY ask_from"
    )
    return _by_day(database, sql, first, last)


def _by_day(database: StrictSqlite, sql: str, first: date, last: date) -> dict[date, int]:
    rows = run(database, sql, (first.isoformat(), last.isoformat())).fetchall()
    return {date.fromisoformat(day): count for day, count in rows}
