"""A claim's history as evidence: what was recorded when and by whom, with hashes that anybody can compute anew."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date, datetime

from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.retelling import story_of
from breakdesk.rules.claim import Event
from breakdesk.store import chain, evidence
from breakdesk.store.claims import claim_with_tag, claims_with_keys
from breakdesk.store.history import action_hash
from breakdesk.store.parties import read_house

HOW_TO_CHECK = """\
Every action has one line or more. A line's digest is SHA-256 over its thing, the number of the thing, kind, day and
body, joined by line feeds, in UTF-8. An action's hash is SHA-256 over its number, the hash of the action before it, its
key, kind, who, machine, day and the instant of recording in microseconds since 1970 UTC, joined by line feeds, and then
for each of its lines a line feed and the line's digest in hexadecimal. Whoever changes, removes, adds or moves a line
has to change every hash after it.

What somebody wrote stands outside the history; the line holds SHA-256 over its salt and the text. With --json all of
these values are printed.

This shows that the record was not changed since a hash of it was known elsewhere: send yourself or somebody else the
last hash from time to time. It does not show that what was written down was true, nor that the clock of this machine
was right. Ask a lawyer what it is worth where you are.
"""


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of the claim's history in words, as recorded, and the action that it belongs to."""

    number: int
    day: date
    recorded_at: datetime
    who: str
    said: str
    text: str
    salt: str
    taken_back: bool
    kind: str
    body: str


@dataclass(frozen=True, slots=True)
class Evidence:
    """All that the history says of a claim, and whether the whole history holds."""

    house: str
    tag: str
    what: str
    printed_at: datetime
    entries: tuple[Entry, ...]
    actions: tuple[evidence.Recorded, ...]
    head: tuple[int, str]
    """The number and the hash of the last action of the whole history."""
    faults: tuple[str, ...]


def evidence_of(desk: Desk, tag: str) -> Evidence | None:
    """The evidence of a claim; None where there is no such claim."""
    claim_id = claim_with_tag(tag)
    if claim_id is None:
        return None
    (claim,) = claims_with_keys(desk.database, [claim_id])
    actions = tuple(evidence.recorded_of(desk.database, claim_id))
    return Evidence(
        house=read_house().name,
        tag=claim.tag,
        what=what_of(claim),
        printed_at=desk.clock.now(),
        entries=_entries(desk, actions),
        actions=actions,
        head=chain.head_of(desk.database),
        faults=(*_faults(actions), *chain.broken_links(desk.database)),
    )


def _entries(desk: Desk, actions: tuple[evidence.Recorded, ...]) -> tuple[Entry, ...]:
    events = [
        (action, line, Event(line.kind, line.day, json.loads(line.body), action.stamp.key))
        for action in actions
        for line in action.own
    ]
    # The story sorts by the day on which things happened and keeps the order of those on one day.
    told = story_of(desk, [event for _, _, event in events])
    entries = []
    for (action, line, event), words in zip(sorted(events, key=lambda one: one[2].day), told, strict=True):
        written = evidence.text_and_salt(event.body["text"]) if event.body.get("text") else None
        text, salt = written or ("", "")
        stamp = action.stamp
        entries.append(
            Entry(
                action.number,
                line.day,
                stamp.recorded_at,
                stamp.who,
                words.said,
                text,
                salt,
                words.taken_back,
                line.kind,
                line.body,
            )
        )
    return tuple(sorted(entries, key=lambda entry: entry.number))


def _faults(actions: tuple[evidence.Recorded, ...]) -> list[str]:
    return [
        f"The hash of action {action.number} is not the one that its lines give."
        for action in actions
        if action_hash(action.number, action.previous, action.stamp, action.digests) != action.hash
    ]
