"""What the history holds of one claim, with all that is needed to compute its hashes anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from breakdesk.rules.clocks import instant_of
from breakdesk.store.engine import run
from breakdesk.store.history import Line, Stamp, line_digest
from breakdesk.store.models import FreeText, StrictSqlite

_ACTIONS = (
    "SELECT key, number, kind, who, machine, day, recorded_at, previous, hash FROM action WHERE key IN "
    "(SELECT action_key FROM history_line WHERE thing = 'claim' AND thing_id = ?) ORDER BY number"
)
_LINES = "SELECT thing, thing_id, kind, day, body FROM history_line WHERE action_key = ? ORDER BY position, id"


@dataclass(frozen=True, slots=True)
class Recorded:
    """One action that touched the claim: its link of the chain, every line's digest, and the claim's own lines."""

    number: int
    stamp: Stamp
    previous: str
    hash: str
    digests: tuple[str, ...]
    own: tuple[Line, ...]


def recorded_of(database: StrictSqlite, claim_id: int) -> Iterator[Recorded]:
    """The actions that touched a claim, in the order in which they were recorded.

    Of lines about other claims only the digest is given: enough to check the hash, too little to read them.
    """
    for key, number, kind, who, machine, day, recorded_at, previous, link in run(
        database, _ACTIONS, (claim_id,)
    ).fetchall():
        lines = [
            Line(thing, thing_id, line_kind, date.fromisoformat(line_day), body)
            for thing, thing_id, line_kind, line_day, body in run(database, _LINES, (key,))
        ]
        stamp = Stamp(key, kind, who, machine, date.fromisoformat(day), instant_of(recorded_at))
        own = tuple(line for line in lines if (line.thing, line.thing_id) == ("claim", claim_id))
        yield Recorded(number, stamp, previous, link, tuple(line_digest(line) for line in lines), own)


def text_and_salt(text_id: int) -> tuple[str, str] | None:
    """What a person wrote and the salt of its digest, in hexadecimal; None where it was erased."""
    row = FreeText.get_or_none(FreeText.id == text_id)
    return None if row is None or row.text is None else (str(row.text), bytes(row.salt).hex())
