"""Checks that the history's chain holds, and names the place where it does not."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from breakdesk.rules.clocks import instant_of
from breakdesk.store.engine import run
from breakdesk.store.history import FIRST_HASH, Line, Stamp, action_hash, line_digest, text_digest
from breakdesk.store.models import StrictSqlite

_ACTIONS = "SELECT key, number, kind, who, machine, day, recorded_at, lines, previous, hash FROM action ORDER BY number"
_LINES = "SELECT thing, thing_id, kind, day, body, id FROM history_line WHERE action_key = ? ORDER BY position, id"
_STRAYS = (
    "SELECT id, kind, thing, thing_id FROM history_line WHERE action_key NOT IN (SELECT key FROM action) ORDER BY id"
)


def broken_links(database: StrictSqlite) -> Iterator[str]:
    """A sentence for every place where the chain does not hold: edited, removed, added or reordered lines and texts."""
    texts = _digests_of_texts(database)
    previous, expected, last_line = FIRST_HASH, 1, 0
    for action in run(database, _ACTIONS).fetchall():
        key, number, kind, _, _, day, _, count, before, link = action
        named = f"Action {number} ({kind}, {day})"
        if number != expected:
            yield f"Action {expected} is missing from the history; the next one there is {number}."
        rows = run(database, _LINES, (key,)).fetchall()
        if len(rows) != count:
            yield f"{named} should have {count} lines and has {len(rows)}."
        if before != previous:
            yield f"{named} does not follow the one before it."
        if _link_of(action, rows) != link:
            yield f"{named} was changed after it was recorded."
        elif not _texts_are_kept([row[4] for row in rows], texts):
            yield f"What was written with action {number} ({kind}, {day}) was changed after it was recorded."
        places = [last_line, *(row[5] for row in rows)]
        if places != sorted(set(places)):
            yield f"The lines of action {number} ({kind}, {day}) are not where they were recorded."
        last_line = max(places)
        previous, expected = link, number + 1
    for line_id, kind, thing, thing_id in run(database, _STRAYS):
        yield f"Line {line_id} of the history ({kind}, {thing} {thing_id}) belongs to no action."
    number, link = head_of(database)
    if number != expected - 1:
        yield f"The history ends at action {expected - 1} but should end at {number}."
    elif link != previous:
        yield f"Action {number} is not the one with which the history should end."


def head_of(database: StrictSqlite) -> tuple[int, str]:
    """The number and the hash with which a desk says that its history ends."""
    head = run(database, "SELECT number, hash FROM history_head WHERE id = 1").fetchone()
    return (0, FIRST_HASH) if head is None else (int(head[0]), str(head[1]))


def end_is_whole(database: StrictSqlite) -> bool:
    """Whether the history ends where it says it does, with as many actions; says nothing of what stands before."""
    number, link = head_of(database)
    count = run(database, "SELECT count(*) FROM action").fetchone()[0]
    last = run(database, "SELECT number, hash FROM action ORDER BY number DESC LIMIT 1").fetchone()
    return bool(count == number and (tuple(last) if last else (0, FIRST_HASH)) == (number, link))


def _link_of(action: Sequence[Any], rows: Sequence[Sequence[Any]]) -> str | None:
    """The link that an action's row and lines come to; None where they hold what was never written."""
    key, number, kind, who, machine, day, recorded_at, _, before, _ = action
    try:
        stamp = Stamp(key, kind, who, machine, date.fromisoformat(day), instant_of(recorded_at))
        digests = [line_digest(Line(row[0], row[1], row[2], date.fromisoformat(row[3]), row[4])) for row in rows]
    except (ValueError, OverflowError):
        return None
    return action_hash(number, before, stamp, digests)


def _digests_of_texts(database: StrictSqlite) -> dict[int, str | None]:
    """The digest of everything that somebody wrote, as it stands now, by its key; None for what was erased."""
    rows = run(database, "SELECT id, salt, text FROM free_text").fetchall()
    return {key: None if text is None else text_digest(bytes(salt), text) for key, salt, text in rows}


def _texts_are_kept(bodies: Sequence[str], texts: Mapping[int, str | None]) -> bool:
    """Whether what lines hold of texts agrees with the texts; one that was erased with a person leaves its key."""
    try:
        said = [json.loads(body) for body in bodies if '"text_digest"' in body]
        return all(one["text"] in texts and texts[one["text"]] in (None, one["text_digest"]) for one in said)
    except (ValueError, TypeError, KeyError, RecursionError):
        return False
