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
from breakdesk.desk.others import ON_TOP, said_of
from breakdesk.desk.problems import Done, Problem, Refusal, Result, refuse
from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.parties import House
from breakdesk.rules.story import fold
from breakdesk.rules.wording import day_in_words
from breakdesk.store import history, projecting
from breakdesk.store.claims import claims_with_keys, lock_claims
from breakdesk.store.engine import alone, beside_others, can_be_tried_again, line_came_back, lock_rows
from breakdesk.store.parties import read_house

MOST_ATTEMPTS = 4
"""How often an action begins anew where desks got in each other's way."""


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
    looked_at: set[int] = field(default_factory=set)
    beside: bool = False

    def claim(self, claim_id: int) -> Claim:
        """A claim as it is now, with what this action already did to it."""
        return self.claims([claim_id])[0]

    def claims(self, claim_ids: Sequence[int]) -> list[Claim]:
        """Some claims as they are now, in the order asked for; until the action ends nobody else changes them."""
        self.looked_at.update(claim_ids)
        if self.beside:
            lock_claims(self.desk.database, [claim_id for claim_id in claim_ids if claim_id not in self.created])
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
            if self.beside:
                lock_rows(self.desk.database, "participant", self.people | projecting.people_in(changed))
            parties = projecting.write_claims(self.desk.database, changed, self.created)
            self.people |= parties.people.keys()
        projecting.refresh_people(self.desk.database, self.people, parties)
        if not self.lines:
            return None
        stamp = history.Stamp(self.key, self.kind, self.desk.who, self.desk.machine, self.day, self.desk.clock.now())
        return history.append(self.desk.database, stamp, self.lines)


def act(desk: Desk, kind: str, work: Callable[[Act], str], key: int | None = None, *, beside: bool = False) -> Result:
    """Runs an action: all of it or nothing. `work` returns what to tell the person who did it.

    Doing the same action twice, told by its key, does it once. Where the disk, the folder, the line or another program
    stands in the way, the problem says so and nothing was saved.

    On a server an action runs alone, as it always does in a desk file, unless it is `beside`: one that reads the
    claims that it changes by `a.claims` only, and so keeps others from just these. `work` may run more than once, where
    desks got in each other's way.
    """
    key = history.new_key() if key is None else key
    begun: list[Done] = []
    for attempt in range(1, MOST_ATTEMPTS + 1):
        try:
            return _act_once(desk, kind, work, key, begun, beside=beside)
        except Refusal as refusal:
            return refusal.problem
        except UnicodeEncodeError:
            return Problem("The text holds broken characters, which cannot be kept.", "Type it again.")
        except Exception as error:
            again = can_be_tried_again(desk.database, error) or line_came_back(desk.database, error)
            if attempt < MOST_ATTEMPTS and again:
                continue
            problem = problem_of(desk, error)
            if problem is None:
                raise
            return problem
    raise AssertionError("the last attempt returns or raises")


def _act_once(
    desk: Desk, kind: str, work: Callable[[Act], str], key: int, begun: list[Done], *, beside: bool
) -> Result:
    with desk.database.atomic():
        (beside_others if beside else alone)(desk.database)
        if history.is_done(key):
            # Where only the answer to an earlier attempt was lost, what that attempt said holds.
            desk.seen.did(begun[-1].number if begun else None)
            return begun[-1] if begun else Done("That was done already.", key=key)
        happened = desk.clock.as_of()
        house = read_house()
        running = Act(desk, kind, key, happened, house, house.today(happened), beside=beside)
        said = _worked(running, work)
        number = running.finish()
        touched = tuple(sorted(running.new_events))
        begun.append(Done(said, touched, number, tuple(running.warnings), key))
    desk.seen.did(number)
    return begun[-1]


def _worked(running: Act, work: Callable[[Act], str]) -> str:
    """What the action says; refused where another desk changed the same things after the person here looked."""
    refused: Refusal | None = None
    said = ""
    try:
        said = work(running)
    except Refusal as refusal:
        refused = refusal
    things: dict[str, set[int]] = {"claim": running.looked_at - running.created}
    for line in running.lines:
        things.setdefault(line.thing, set()).add(line.thing_id)
    database = running.desk.database
    changes = running.desk.seen.changes(database, things)
    if changes:
        running.desk.seen.look(database)
        what = said_of(changes[-1], running.house)
        raise refuse(what, f"{refused.problem.sentence} {ON_TOP}" if refused else ON_TOP)
    if refused is not None:
        raise refused
    return said
