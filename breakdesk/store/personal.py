"""Where personal data stand outside the history, and how they are taken away for good."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Sequence

from breakdesk.store.engine import run
from breakdesk.store.history import claim_events
from breakdesk.store.models import StrictSqlite

SHORTEST_NAME = 3
"""A shorter name is not looked for in texts: it would be found in half of them."""


def texts_about(database: StrictSqlite, person_ids: Sequence[int]) -> set[int]:
    """Keys of free texts that were written to or about some participants: tellings, promises, reasons, notes."""
    marks = ", ".join("?" for _ in person_ids)
    found: set[int] = set()
    for sql in (
        f"SELECT text_id FROM telling WHERE participant_id IN ({marks})",
        f"SELECT text_id FROM follow_up WHERE participant_id IN ({marks})",
        f"SELECT text_id FROM park WHERE round IN ('tell', 'ship') AND item_id IN ({marks})",
    ):
        found |= {row[0] for row in run(database, sql, person_ids)}
    bodies = run(
        database,
        f"SELECT body FROM history_line WHERE thing IN ('participant', 'parked participant') AND thing_id IN ({marks})",
        person_ids,
    )
    found |= _texts_on_parcels(database, marks, person_ids)
    found |= {json.loads(row[0]).get("text") for row in bodies}
    found |= _texts_on_claims(database, frozenset(person_ids))
    return {key for key in found if key is not None}


def claims_ever_of(database: StrictSqlite, person_ids: Sequence[int]) -> list[int]:
    """Keys of the claims that some participants own or owned, by the history."""
    wanted = set(person_ids)
    rows = run(
        database,
        "SELECT thing_id, body FROM history_line WHERE thing = 'claim' AND kind IN ('pulled', 'owner', 'same_person') "
        "ORDER BY thing_id",
    )
    found = set()
    for claim_id, text in rows:
        body = json.loads(text)
        if wanted & {body.get("owner_id"), body.get("to"), *body.get("candidates", ())}:
            found.add(claim_id)
    return sorted(found)


def _texts_on_parcels(database: StrictSqlite, marks: str, person_ids: Sequence[int]) -> set[int]:
    bodies = run(
        database,
        "SELECT body FROM history_line WHERE thing = 'parcel' "
        f"AND thing_id IN (SELECT id FROM parcel WHERE participant_id IN ({marks}))",
        person_ids,
    )
    return {key for row in bodies if (key := json.loads(row[0]).get("text")) is not None}


def _texts_on_claims(database: StrictSqlite, person_ids: frozenset[int]) -> set[int]:
    """What was written on claims while they were the owner; what the next owner is told stays."""
    found: set[int] = set()
    for events in claim_events(claims_ever_of(database, sorted(person_ids))).values():
        owner: object = None
        for event in events:
            before = owner
            if event.kind in ("pulled", "owner"):
                owner = event.body.get("owner_id")
            elif event.kind == "same_person" and "owner" in event.body["places"]:
                owner = event.body["to"]
            if {before, owner} & person_ids and event.body.get("text") is not None:
                found.add(event.body["text"])
    return found


def texts_naming(database: StrictSqlite, names: Iterable[str]) -> set[int]:
    """Keys of free texts in which one of the names stands as a word of its own, whoever else they are about."""
    pattern = _pattern(names)
    if pattern is None:
        return set()
    rows = run(database, "SELECT id, text FROM free_text WHERE text IS NOT NULL")
    return {key for key, text in rows if pattern.search(text.casefold())}


def settings_naming(database: StrictSqlite, names: Iterable[str]) -> list[str]:
    """Names of settings, such as half typed lines, in whose value one of the names stands."""
    pattern = _pattern(names)
    if pattern is None:
        return []
    rows = run(database, "SELECT name, value FROM setting")
    return [name for name, value in rows if pattern.search(value.casefold())]


def _pattern(names: Iterable[str]) -> re.Pattern[str] | None:
    wanted = {name.strip().lstrip("@").casefold() for name in names}
    words = sorted(re.escape(word) for word in wanted if len(word) >= SHORTEST_NAME)
    return re.compile(rf"(?<!\w)(?:{'|'.join(words)})(?!\w)") if words else None


def erase_texts(database: StrictSqlite, text_ids: Iterable[int]) -> int:
    """Takes texts and their salts away; the history keeps digests from which nothing can be told any more."""
    erased = 0
    for key in sorted(text_ids):
        erased += run(
            database, "UPDATE free_text SET text = NULL, salt = ? WHERE id = ? AND text IS NOT NULL", (b"", key)
        ).rowcount
    return erased


def erase_person(database: StrictSqlite, person_id: int, day: str) -> None:
    """Takes everything away that says who a participant is; their key stays, since the history and claims name it."""
    name = f"Erased participant {person_id}"
    run(
        database,
        "UPDATE participant SET name = ?, folded = ?, handle = '', on_air_name = '', channel = '', "
        "fallback_channel = '', language = '', zone = '', wish = '', opted_out = 1, erased_on = ?, "
        "version = version + 1 WHERE id = ?",
        (name, name.casefold(), day, person_id),
    )
    for sql in (
        "DELETE FROM contact WHERE participant_id = ?",
        "UPDATE address SET text = '', country = '' WHERE participant_id = ?",
        "UPDATE recipient SET name = '', text = '', country = '' WHERE participant_id = ?",
        "UPDATE parcel SET extra = '', gift_note = '' WHERE participant_id = ?",
        "DELETE FROM search_word WHERE thing = 'participant' AND thing_id = ?",
    ):
        run(database, sql, (person_id,))
    for setting in (f"loaded participant {person_id}", f"sending {person_id}"):
        run(database, "DELETE FROM setting WHERE name = ?", (setting,))
