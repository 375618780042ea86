"""How every action runs: one transaction, one line of history, and all that follows from it kept true.

An action says which events happen to which claims. This module writes them to the history, folds each
claim's history anew, and brings its row, its news, its search words, its due days and its owner's next
telling up to date, all before the transaction ends.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import Any

from breakdesk.desk.desk import Desk
from breakdesk.desk.obstacles import problem_of
from breakdesk.desk.problems import Done, Problem, Refusal, Result, refuse
from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.parties import House
from breakdesk.rules.story import fold
from breakdesk.rules.wording import day_in_words
from breakdesk.store import history, projecting
from breakdesk.store.claims import claims_with_keys
from breakdesk.store.engine import alone
from breakdesk.store.parties import read_house


@dataclass(slots=True)
class Act:
    """One action under way inside its transaction."""

    desk: Desk
    kind: str
    key: int
    happened: datetime
    house: House
    day: date
    lines: list[history.Line] = field(default_factory=list)
    new_events: dict[int, list[Event]] = field(default_factory=dict)
    created: set[int] = field(default_factory=set)
    people: set[int] = field(default_factory=set)
    warnings: list[str] = field(default_factory=list)

    def claim(self, claim_id: int) -> Claim:
        """A claim as it is now, with what this action already did to it."""
        return self.claims([claim_id])[0]

    def claims(self, claim_ids: Sequence[int]) -> list[Claim]:
        """Some claims as they are now, in the order asked for."""
        changed = [claim_id for claim_id in claim_ids if claim_id in self.new_events]
        unchanged = [claim_id for claim_id in claim_ids if claim_id not in self.new_events]
        stored = {claim.id: claim for claim in claims_with_keys(self.desk.database, unchanged)}
        stored |= {claim.id: claim for claim in self._folded(changed)}
        return [stored[claim_id] for claim_id in claim_ids]

    def add(self, claim_id: int, kind: str, body: Mapping[str, Any] | None = None, day: date | None = None) -> None:
        """An event happens to a claim, today unless a day is given."""
        event = Event(kind, day or self.day, dict(body or {}), self.key)
        self.new_events.setdefault(claim_id, []).append(event)
        self.line("claim", claim_id, kind, event.body, event.day)

    def add_in_order(
        self, claim: Claim, kind: str, body: Mapping[str, Any] | None = None, day: date | None = None
    ) -> None:
        """An event happens to a claim today; refused where something later is known of the claim."""
        self.require_order(claim)
        self.add(claim.id, kind, body, day)

    def require_order(self, claim: Claim) -> None:
        """Refuses where something later than this action is known of a claim."""
        if self.day < claim.last_event_on:
            raise refuse(
                f"On {day_in_words(self.day)} claim {claim.tag} could not change:",
                f"its last event was on {day_in_words(claim.last_event_on)}. Name a later day.",
            )

    def line(
        self, thing: str, thing_id: int, kind: str, body: Mapping[str, Any] | None = None, day: date | None = None
    ) -> None:
        """A line of history about something else than a claim; ids only, never personal data or codes."""
        self.lines.append(history.Line(thing, thing_id, kind, day or self.day, history.canonical(body or {})))

    def text(self, said: str) -> dict[str, Any]:
        """Keeps what a person wrote and gives what the history may hold of it; nothing for an empty text."""
        if not said.strip():
            return {}
        text_id, digest = history.keep_text(said.strip())
        return {"text": text_id, "text_digest": digest}

    def _folded(self, claim_ids: Sequence[int]) -> list[Claim]:
        events = history.claim_events([claim_id for claim_id in claim_ids if claim_id not in self.created])
        claims = []
        for claim_id in claim_ids:
            claim = fold(claim_id, [*events.get(claim_id, []), *self.new_events.get(claim_id, [])])
            if claim is None:
                raise RuntimeError(f"claim {claim_id} has no pull in its history")
            claims.append(claim)
        return claims

    def finish(self) -> int | None:
        """Writes what follows from the events, then the history; returns the action's number."""
        parties = None
        if self.new_events:
            changed = self._folded(sorted(self.new_events))
            parties = projecting.write_claims(self.desk.database, changed, self.created)
            self.people |= parties.people.keys()
        projecting.refresh_people(self.desk.database, self.people, parties)
        if not self.lines:
            return None
        stamp = history.Stamp(self.key, self.kind, self.desk.who, self.desk.machine, self.day, self.desk.clock.now())
        return history.append(self.desk.database, stamp, self.lines)


def act(desk: Desk, kind: str, work: Callable[[Act], str], key: int | None = None) -> Result:
    """Runs an action: all of it or nothing. `work` returns what to tell the person who did it.

    Doing the same action twice, told by its key, does it once. Where the disk, the folder or another program stands in
    the way, the problem says so and nothing was saved.
    """
    key = history.new_key() if key is None else key
    try:
        with desk.database.atomic():
            alone(desk.database)
            if history.is_done(key):
                return Done("That was done already.", key=key)
            happened = desk.clock.as_of()
            house = read_house()
            running = Act(desk, kind, key, happened, house, house.today(happened))
            said = work(running)
            number = running.finish()
            touched = tuple(sorted(running.new_events))
            return Done(said, touched, number, tuple(running.warnings), key)
    except Refusal as refusal:
        return refusal.problem
    except UnicodeEncodeError:
        return Problem("The text holds broken characters, which cannot be kept.", "Type it again.")
    except Exception as error:
        problem = problem_of(desk, error)
        if problem is None:
            raise
        return problem
