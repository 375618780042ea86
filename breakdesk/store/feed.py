"""What was recorded after a person last looked: the history read as the news of other desks."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime

from breakdesk.rules.clocks import instant_of
from breakdesk.store.engine import run
from breakdesk.store.models import StrictSqlite

KEYS_AT_ONCE = 500
_ACTION = "action.number, action.kind, action.who, action.machine, action.recorded_at"


@dataclass(frozen=True, slots=True)
class Change:
    """An action that touched a thing: its number, what it was, who did it where, and when it was recorded."""

    number: int
    kind: str
    who: str
    machine: str
    recorded_at: datetime
    thing: str
    thing_id: int


def changes_after(database: StrictSqlite, number: int, things: Mapping[str, Iterable[int]]) -> list[Change]:
    """What touched any of some things (keys by kind of thing) in actions after a number, in the order recorded."""
    found: list[Change] = []
    for thing, keys in things.items():
        wanted = sorted(set(keys))
        for start in range(0, len(wanted), KEYS_AT_ONCE):
            part = wanted[start : start + KEYS_AT_ONCE]
            marks = ", ".join("?" for _ in part)
            rows = run(
                database,
                f"SELECT DISTINCT {_ACTION}, history_line.thing, history_line.thing_id FROM history_line "
                "JOIN action ON action.key = history_line.action_key "
                f"WHERE history_line.thing = ? AND history_line.thing_id IN ({marks}) AND action.number > ?",
                (thing, *part, number),
            )
            found += [_change(*row) for row in rows]
    return sorted(found, key=lambda change: change.number)


def told_after(database: StrictSqlite, person_id: int, number: int) -> Change | None:
    """The first telling of a participant that was recorded after an action and not taken back; None where none was."""
    row = run(
        database,
        f"SELECT {_ACTION} FROM telling JOIN action ON action.key = telling.action_key "
        "WHERE telling.participant_id = ? AND telling.undone = 0 AND action.number > ? ORDER BY action.number LIMIT 1",
        (person_id, number),
    ).fetchone()
    return None if row is None else _change(*row, "participant", person_id)


def _change(number: int, kind: str, who: str, machine: str, recorded_at: int, thing: str, thing_id: int) -> Change:
    return Change(number, kind, who, machine, instant_of(recorded_at), thing, thing_id)
