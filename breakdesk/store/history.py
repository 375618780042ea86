"""Writing and reading the append-only history, and checking that its chain holds."""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, cast

from breakdesk.rules.claim import Event
from breakdesk.rules.clocks import instant_of, microseconds_of
from breakdesk.store.engine import insert_rows, run
from breakdesk.store.models import Action, FreeText, HistoryHead, HistoryLine, StrictSqlite, database_proxy

FIRST_HASH = "0" * 64
SALT_BYTES = 16
KEYS_AT_ONCE = 500
_LineRow = tuple[int, str, date, str, int]


@dataclass(frozen=True, slots=True)
class Line:
    """One line to be written: what an action changes in one thing."""

    thing: str
    thing_id: int
    kind: str
    day: date
    body: str
    """Canonical JSON, written and hashed exactly like this."""


@dataclass(frozen=True, slots=True)
class Stamp:
    """Who acted, where, when it happened and when it was recorded."""

    key: int
    kind: str
    who: str
    machine: str
    day: date
    recorded_at: datetime


def canonical(body: Mapping[str, Any]) -> str:
    """The one spelling of a body: sorted keys, no spaces, plain Unicode; values are texts, whole numbers, lists."""
    return json.dumps(body, sort_keys=True, ensure_ascii=False, separators=(",", ":"))


def line_digest(line: Line) -> str:
    """The digest of a line over everything it says."""
    said = f"{line.thing}\n{line.thing_id}\n{line.kind}\n{line.day.isoformat()}\n{line.body}"
    return hashlib.sha256(said.encode()).hexdigest()


def action_hash(number: int, previous: str, stamp: Stamp, digests: Iterable[str]) -> str:
    """The link of the chain: over the action, the link before it and its lines' digests in order."""
    running = hashlib.sha256()
    head = [str(number), previous, str(stamp.key), stamp.kind, stamp.who, stamp.machine]
    head += [stamp.day.isoformat(), str(microseconds_of(stamp.recorded_at))]
    running.update("\n".join(head).encode())
    for digest in digests:
        running.update(b"\n" + digest.encode())
    return running.hexdigest()


def append(database: StrictSqlite, stamp: Stamp, lines: Sequence[Line]) -> int:
    """Writes an action and its lines; the head is taken last of all, so that others wait as briefly as can be.

    The lines are written while the head is held, so that they stand in the order of their actions.

    Call inside the transaction that changed the things. Returns the action's gapless number.
    """
    columns = ("action_key", "position", "thing", "thing_id", "kind", "day", "body")
    rows = (
        (stamp.key, position, line.thing, line.thing_id, line.kind, line.day.isoformat(), line.body)
        for position, line in enumerate(lines)
    )
    number, previous = _next_link(database)
    insert_rows(database, HistoryLine, columns, rows)
    link = action_hash(number, previous, stamp, (line_digest(line) for line in lines))
    names = ("key", "number", "kind", "who", "machine", "day", "recorded_at", "lines", "previous", "hash")
    recorded_at = microseconds_of(stamp.recorded_at)
    said = (stamp.key, number, stamp.kind, stamp.who, stamp.machine, stamp.day.isoformat(), recorded_at)
    insert_rows(database, Action, names, [(*said, len(lines), previous, link)])
    run(database, "UPDATE history_head SET hash = ? WHERE id = 1", (link,))
    return number


def _next_link(database: StrictSqlite) -> tuple[int, str]:
    """Takes the head of the chain: the next number, and the hash that it follows."""
    take = "UPDATE history_head SET number = number + 1 WHERE id = 1 RETURNING number, hash"
    taken = run(database, take).fetchall()
    if not taken:
        HistoryHead.insert(id=1, number=0, hash=FIRST_HASH).on_conflict_ignore().execute()
        taken = run(database, take).fetchall()
    return cast("tuple[int, str]", taken[0])


def is_done(key: int) -> bool:
    """Whether an action with this key is in the history already."""
    database = cast("StrictSqlite", database_proxy)
    return run(database, "SELECT 1 FROM action WHERE key = ?", (key,)).fetchone() is not None


def new_key() -> int:
    """A random key for an action: 63 bits, so that it fits a signed column."""
    return secrets.randbits(63)


def keep_text(text: str) -> tuple[int, str]:
    """Stores what a person wrote; returns its key and the salted digest that the history may hold."""
    salt = secrets.token_bytes(SALT_BYTES)
    row = FreeText.create(salt=salt, text=text)
    return int(row.id), text_digest(salt, text)


def text_digest(salt: bytes, text: str) -> str:
    """What the history holds of a text; without the salt nobody can tell what was written."""
    return hashlib.sha256(salt + text.encode()).hexdigest()


def text_of(text_id: int | None) -> str | None:
    """What a person wrote; None where it was erased or never was."""
    if text_id is None:
        return None
    row = FreeText.get_or_none(FreeText.id == text_id)
    return None if row is None else row.text


_LAST_ACTIONS = 1000


def latest_recorded(database: StrictSqlite) -> datetime | None:
    """The latest instant at which anything was recorded; None in an empty history.

    The newest actions tell it: the head's own instant is earlier where the clock has gone backwards since.
    """
    newest = "SELECT recorded_at FROM action ORDER BY number DESC LIMIT ?"
    (latest,) = run(database, f"SELECT max(recorded_at) FROM ({newest}) AS newest", (_LAST_ACTIONS,)).fetchone()
    return None if latest is None else instant_of(latest)


def claim_events(claim_ids: Sequence[int]) -> dict[int, list[Event]]:
    """The history of some claims, each in the order in which it was recorded."""
    events: dict[int, list[Event]] = {claim_id: [] for claim_id in claim_ids}
    for start in range(0, len(claim_ids), KEYS_AT_ONCE):
        wanted = claim_ids[start : start + KEYS_AT_ONCE]
        query = (
            HistoryLine.select(
                HistoryLine.thing_id, HistoryLine.kind, HistoryLine.day, HistoryLine.body, HistoryLine.action
            )
            .where(HistoryLine.thing == "claim", HistoryLine.thing_id.in_(wanted))
            .order_by(HistoryLine.id)
            .tuples()
        )
        for claim_id, kind, day, body, action in cast("Iterable[_LineRow]", query):
            events[claim_id].append(Event(kind, day, json.loads(body), action))
    return events


def all_claim_events(
    database: StrictSqlite, until: date | None = None, asked_until: date | None = None
) -> Iterator[tuple[int, list[Event]]]:
    """Every claim's history, claim by claim in order of their keys, in constant memory.

    With `until`, events dated later are left out, asks after `asked_until`; what was taken back since is
    known to be taken back.
    """
    where = ""
    values: tuple[str, ...] = ()
    if until is not None:
        where = "AND (day <= ? OR kind = 'undone' OR (kind = 'asked' AND day <= ?))"
        values = (until.isoformat(), (asked_until or until).isoformat())
    rows = run(
        database,
        "SELECT thing_id, kind, day, body, action_key FROM history_line "
        f"WHERE thing = 'claim' {where} ORDER BY thing_id, id",
        values,
    )
    present: int | None = None
    events: list[Event] = []
    for claim_id, kind, day, body, action in rows:
        if claim_id != present:
            if present is not None:
                yield present, events
            present, events = claim_id, []
        events.append(Event(kind, date.fromisoformat(day), json.loads(body), action))
    if present is not None:
        yield present, events
