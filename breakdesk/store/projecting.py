"""Writes what follows from history: claim rows, news, search words, due days and people's next tellings."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from breakdesk.rules.claim import Claim as Facts
from breakdesk.rules.claim import Listed
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.tell import telling_days
from breakdesk.store import models, words
from breakdesk.store.claims import (
    COLUMNS,
    DUE_COLUMNS,
    NEWS_COLUMNS,
    claims_with_keys,
    delete_news,
    due_columns,
    news_rows,
    read_claims,
    stored,
    tag_key,
)
from breakdesk.store.engine import insert_rows, run
from breakdesk.store.models import StrictSqlite
from breakdesk.store.parties import read_house, read_makers, read_parties, read_people

KEYS_AT_ONCE = 300


class Stale(Exception):  # noqa: N818 - named for what happened
    """A row was changed by somebody else between reading and writing."""


def people_in(claims: Iterable[Listed]) -> set[int]:
    """Everybody whose next telling may depend on these claims."""
    people: set[int | None] = {None}
    for claim in claims:
        people.add(claim.owner_id)
        if isinstance(claim, Facts):
            people.add(claim.first_owner_id)
        for news in claim.news:
            people.add(news.person_id)
    return {key for key in people if key is not None}


def claim_words(claim: Facts) -> set[str]:
    """The words by which a claim is found."""
    return words.words_of(claim.subject, claim.team, claim.reference) | {tag_key(claim.tag).lower()}


def write_claims(database: StrictSqlite, claims: Sequence[Facts], created: Collection[int]) -> Parties:
    """Writes folded claims to their rows; returns everybody they concern, whose next telling may have changed."""
    before = {claim.id: claim for claim in claims_with_keys(database, [c.id for c in claims if c.id not in created])}
    people = people_in(claims) | people_in(before.values())
    makers = {claim.maker_id for claim in (*claims, *before.values())}
    parties = read_parties(database, people, maker_ids=makers)
    fresh = [claim for claim in claims if claim.id in created]
    insert_claims(database, fresh, parties)
    versions = _versions(database, before)
    for claim in claims:
        if claim.id not in created:
            _update(database, claim, parties, versions[claim.id])
            if claim_words(claim) != claim_words(before[claim.id]):
                words.rewrite_words(database, "claim", claim.id, claim_words(claim))
    changed = [claim for claim in claims if claim.id not in created]
    delete_news([claim.id for claim in changed])
    _insert_news(database, changed)
    return parties


def insert_claims(
    database: StrictSqlite,
    claims: Sequence[Facts],
    parties: Parties,
    origins: Mapping[int, tuple[str | None, int | None]] | None = None,
) -> None:
    """Adds rows, news and words of new claims; `origins` are the file rows' digests and notes of those loaded."""
    columns = (*COLUMNS, "tag_key", "version", *DUE_COLUMNS, "row_digest", "note_id")
    known = origins or {}
    rows = ([*_row(claim, parties), *known.get(claim.id, (None, None))] for claim in claims)
    insert_rows(database, models.Claim, columns, rows)
    _insert_news(database, claims)
    words.write_words(database, "claim", ((claim.id, claim_words(claim)) for claim in claims))


def _row(claim: Facts, parties: Parties) -> list[Any]:
    row = stored(claim)
    return [*row.values(), tag_key(claim.tag), 1, *due_columns(claim, parties).values()]


def _versions(database: StrictSqlite, claim_ids: Iterable[int]) -> dict[int, int]:
    wanted = list(claim_ids)
    versions: dict[int, int] = {}
    for start in range(0, len(wanted), KEYS_AT_ONCE):
        part = wanted[start : start + KEYS_AT_ONCE]
        marks = ", ".join("?" for _ in part)
        versions |= run(database, f"SELECT id, version FROM claim WHERE id IN ({marks})", part).fetchall()
    return versions


_CHANGED = (*(name for name in COLUMNS if name != "id"), *DUE_COLUMNS, "tag_key")
_ASSIGNED = ", ".join(f'"{name}" = ?' for name in _CHANGED)
_UPDATE = f"UPDATE claim SET {_ASSIGNED}, version = version + 1 WHERE id = ? AND version = ?"


def _update(database: StrictSqlite, claim: Facts, parties: Parties, version: int) -> None:
    row = stored(claim) | due_columns(claim, parties) | {"tag_key": tag_key(claim.tag)}
    # One fixed statement: building it anew for every claim takes several times as long as running it.
    cursor = run(database, _UPDATE, (*(row[name] for name in _CHANGED), claim.id, version))
    if cursor.rowcount != 1:
        raise Stale(claim.tag)


def _insert_news(database: StrictSqlite, claims: Iterable[Facts]) -> None:
    insert_rows(database, models.ClaimNews, NEWS_COLUMNS, (row for claim in claims for row in news_rows(claim)))


_LAST_TOLD = """
UPDATE participant SET last_told_on =
  (SELECT max(telling.day) FROM telling WHERE telling.participant_id = participant.id AND telling.undone = 0)
"""


def refresh_people(database: StrictSqlite, person_ids: Collection[int], known: Parties | None = None) -> None:
    """Brings the last telling and the next one of some participants up to date.

    The house and the makers in `known` are taken as they are; participants are read anew, as a delivery that was just
    written confirms an address.
    """
    wanted = sorted(person_ids)
    for start in range(0, len(wanted), KEYS_AT_ONCE):
        part = wanted[start : start + KEYS_AT_ONCE]
        marks = ", ".join("?" for _ in part)
        run(database, f"{_LAST_TOLD} WHERE participant.id IN ({marks})", part)
        claims = list(claims_of_people(database, part))
        people = read_people(database, people_in(claims) | set(part))
        makers = {claim.maker_id for claim in claims}
        if known is None:
            known = Parties(house=read_house(), makers=read_makers(database, makers), people={})
        unread = makers - known.makers.keys() - {None}
        if unread:
            known = replace(known, makers={**known.makers, **read_makers(database, unread)})
        parties = replace(known, people=people)
        due = telling_days(claims, parties)
        _refresh_decisions(database, claims, parties)
        for person_id in part:
            day = due.get(person_id)
            run(
                database,
                "UPDATE participant SET tell_due_on = ? WHERE id = ?",
                (day.isoformat() if day else None, person_id),
            )


def _refresh_decisions(database: StrictSqlite, claims: Iterable[Facts], parties: Parties) -> None:
    """A confirmed address or a delivery moves the reminders about the owner's other cards."""
    for claim in claims:
        if claim.state in ("in_hand", "shipped", "offered"):
            day = due_columns(claim, parties)["decide_from"]
            run(
                database,
                "UPDATE claim SET decide_from = ? WHERE id = ? AND decide_from IS DISTINCT FROM ?",
                (day, claim.id, day),
            )


def claims_of_people(database: StrictSqlite, person_ids: Sequence[int]) -> Iterable[Facts]:
    """Open claims that some participants own, and claims with news for them."""
    marks = ", ".join("?" for _ in person_ids)
    # One list of keys from two indexes: with OR between them a server would walk all claims.
    where = (
        f"claim.id IN (SELECT id FROM claim WHERE owner_id IN ({marks}) AND state NOT IN ('closed', 'void') "
        f"UNION SELECT claim_id FROM claim_news WHERE participant_id IN ({marks}))"
    )
    return read_claims(database, where, [*person_ids, *person_ids])


def refresh_due_days(database: StrictSqlite) -> int:
    """Recomputes every due day, after a setting changed; leaves the versions alone. Returns how many claims moved."""
    parties = read_parties(database)
    moved = 0
    assigned = ", ".join(f"{name} = ?" for name in DUE_COLUMNS)
    present = _present_due_days(database)
    for claim in list(read_claims(database)):
        due = tuple(due_columns(claim, parties).values())
        if due != present[claim.id]:
            moved += 1
            run(database, f"UPDATE claim SET {assigned} WHERE id = ?", (*due, claim.id))
    refresh_people(database, set(parties.people), parties)
    return moved


def _present_due_days(database: StrictSqlite) -> dict[int, tuple[Any, ...]]:
    return {row[0]: tuple(row[1:]) for row in run(database, f"SELECT id, {', '.join(DUE_COLUMNS)} FROM claim")}


def due_differences(database: StrictSqlite) -> Iterable[str]:
    """A sentence for every stored due day that the rules would set otherwise."""
    parties = read_parties(database)
    present = _present_due_days(database)
    claims = list(read_claims(database))
    for claim in claims:
        for name, expected in due_columns(claim, parties).items():
            found = present[claim.id][DUE_COLUMNS.index(name)]
            if found != expected:
                yield f"Claim {claim.tag}: {name} is {found} but the rules say {expected}."
    days = telling_days((claim for claim in claims if claim.is_open or claim.news), parties)
    for person_id, found in run(database, "SELECT id, tell_due_on FROM participant"):
        day = days.get(person_id)
        if found != (day.isoformat() if day else None):
            yield f"Participant {person_id}: the next telling is {found} but the rules say {day}."
