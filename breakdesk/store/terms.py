"""Keeps settled terms, and the days on which makers' offices are closed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime

from peewee import fn

from breakdesk.rules.clocks import microseconds_of
from breakdesk.store import models
from breakdesk.store.engine import insert_rows, run
from breakdesk.store.models import StrictSqlite

HOLIDAY, NOTED = "holiday", "noted"


@dataclass(frozen=True, slots=True)
class SettledTerm:
    """A settled value, the first day on which it holds (None: since always), and when it was recorded."""

    name: str
    value: str
    from_day: date | None
    recorded_at: datetime


def settled_terms(maker_id: int | None) -> list[SettledTerm]:
    """Everything that was settled for the house (None) or a maker, in the order of recording."""
    table = models.Term
    whose = table.maker_id.is_null() if maker_id is None else table.maker_id == maker_id
    rows = table.select().where(whose).order_by(table.id)
    return [SettledTerm(row.name, row.value, row.from_day, row.recorded_at) for row in rows]


def keep_term(
    database: StrictSqlite, maker_id: int | None, name: str, value: str, from_day: date | None, now: datetime
) -> None:
    """Settles a term; of two for one day the later recorded one holds."""
    columns = ("maker_id", "name", "value", "from_day", "recorded_at")
    day = from_day.isoformat() if from_day else None
    insert_rows(database, models.Term, columns, [(maker_id, name, value, day, microseconds_of(now))])


def drop_latest_term(name: str, from_day: date) -> None:
    """Forgets what was settled last for the house from a day on; what was settled for that day before holds again."""
    table = models.Term
    wanted = (table.maker_id.is_null()) & (table.name == name) & (table.from_day == from_day)
    latest = table.select(fn.MAX(table.id)).where(wanted).scalar()
    table.delete().where(table.id == latest).execute()


def closed_days(maker_id: int, source: str) -> dict[date, str]:
    """The days on which a maker's office is closed, by day, with their names."""
    table = models.ClosedDay
    rows = table.select().where(table.maker == maker_id, table.source == source).order_by(table.day)
    return {row.day: row.name for row in rows}


def replace_holidays(database: StrictSqlite, maker_id: int, holidays: Mapping[date, str], first: date) -> None:
    """Puts these public holidays in the place of those stored from a day on."""
    run(
        database,
        "DELETE FROM closed_day WHERE maker_id = ? AND source = ? AND day >= ?",
        (maker_id, HOLIDAY, first.isoformat()),
    )
    rows = [(maker_id, day.isoformat(), HOLIDAY, name) for day, name in holidays.items() if day >= first]
    insert_rows(database, models.ClosedDay, ("maker_id", "day", "source", "name"), rows)


def note_closed_day(database: StrictSqlite, maker_id: int, day: date, name: str) -> None:
    """Notes a day on which the office is closed, or names one anew."""
    drop_closed_day(database, maker_id, day)
    insert_rows(
        database, models.ClosedDay, ("maker_id", "day", "source", "name"), [(maker_id, day.isoformat(), NOTED, name)]
    )


def drop_closed_day(database: StrictSqlite, maker_id: int, day: date) -> None:
    """Forgets a noted closed day."""
    values = (maker_id, NOTED, day.isoformat())
    run(database, "DELETE FROM closed_day WHERE maker_id = ? AND source = ? AND day = ?", values)
