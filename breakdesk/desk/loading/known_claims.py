"""Rows about claims that are known: they add what is missing and never alter what is recorded."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import Any

from breakdesk.desk.loading.claim_events import dated_events, in_order
from breakdesk.desk.loading.codes import Codes
from breakdesk.desk.loading.names import Names
from breakdesk.desk.loading.notes import keep_note
from breakdesk.desk.loading.owners import Owners
from breakdesk.desk.loading.plan import NewClaim, Place, Plan
from breakdesk.desk.loading.report import Counts
from breakdesk.files.headers import Kind, columns_of
from breakdesk.files.row_kinds import ClaimRow
from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.names import folded
from breakdesk.rules.ownership import Owner
from breakdesk.rules.story import fold
from breakdesk.store.claims import claims_with_keys
from breakdesk.store.history import claim_events
from breakdesk.store.loading import read_notes
from breakdesk.store.models import StrictSqlite

_STAYS = "what is recorded stays"
_AT_THE_DESK = "Correct it at the desk, if the recorded one is wrong."
_FILLED = (
    "team", "variation", "numbered_to", "serial", "features", "expires_on", "reference", "tracking", "account_id",
)  # fmt: skip
"""What a later row may fill in where nothing is recorded."""


class Additions:
    """What rows add to claims that the desk has, or that earlier rows of the load made."""

    def __init__(self, plan: Plan, names: Names, owners: Owners, codes: Codes, database: StrictSqlite) -> None:
        self._plan = plan
        self._names = names
        self._owners = owners
        self._codes = codes
        self._database = database
        self._waiting: list[tuple[int, ClaimRow, Place]] = []

    def note(self, claim_id: int, row: ClaimRow, place: Place) -> None:
        """A row about a claim of the desk, looked at together with all the others."""
        self._waiting.append((claim_id, row, place))

    def finish(self, counts: Counts) -> None:
        """Looks at every noted row."""
        keys = sorted({claim_id for claim_id, _, _ in self._waiting})
        claims = {claim.id: claim for claim in claims_with_keys(self._database, keys)}
        histories = claim_events(keys)
        notes = read_notes(self._database, {claim_id for claim_id, row, _ in self._waiting if row.note})
        for claim_id, row, place in self._waiting:
            added = self._plan.added_events.get(claim_id, [])
            facts = claims[claim_id]
            if added:
                again = fold(claim_id, [*histories[claim_id], *added])
                assert again is not None, "a claim of the desk was pulled"
                facts = again
            new = self._added(row, facts, [*histories[claim_id], *added], place)
            if row.note and claim_id not in notes:
                notes[claim_id] = row.note
                note_id, said = keep_note(self._plan, row.note)
                new.append(Event("noted", facts.last_event_on, said))
                self._plan.added_notes.append((claim_id, note_id))
            elif row.note and notes[claim_id] not in (row.note, None):
                self._differs(place, "note", None)
            if new:
                self._plan.added_events.setdefault(claim_id, []).extend(in_order(new))
                counts.changed += 1
            else:
                counts.known += 1

    def add_to_new(self, made: NewClaim, row: ClaimRow, place: Place, counts: Counts) -> None:
        """A row about a claim that another row of this load made."""
        new = self._added(row, made.facts, made.events, place)
        if row.note and not made.note:
            made.note = row.note
            made.note_id, said = keep_note(self._plan, row.note)
            new.append(Event("noted", made.facts.pull_day, said))
        elif row.note and row.note != made.note:
            self._differs(place, "note", None)
        made.events.extend(in_order(new))
        facts = fold(made.claim_id, made.events)
        assert facts is not None, "the first event is the pull"
        made.facts = facts
        if new:
            counts.changed += 1
        else:
            counts.known += 1

    def _added(self, row: ClaimRow, facts: Claim, events: list[Event], place: Place) -> list[Event]:
        if facts.state == "void":
            what = "this claim is void, so nothing is added to it"
            self._plan.warn(place, "tag", row.tag, what, "Take the row out, or give it another tag.")
            return []
        self._compare_fixed(row, facts, place)
        filled = self._filled(row, facts, place)
        dated = list(self._new_dates(row, facts, events, place))
        in_their_events = {name for event in dated for name in event.body}
        correction = {name: value for name, value in filled.items() if name not in in_their_events}
        new = dated
        if correction:
            new.append(Event("corrected", facts.last_event_on, correction))
        owner = self._late_owner(row, facts, correction, place)
        if owner is not None:
            new.append(owner)
        if row.seen_on_camera and not facts.seen_on_camera:
            new.append(Event("seen", facts.last_event_on, {}))
        if self._codes.take(row, facts.id, facts.tag, place):
            new.append(Event("code_entered", facts.last_event_on, {}))
        return new

    def _differs(self, place: Place, column: str, value: str | None) -> None:
        self._plan.warn(place, column, value, f"the desk has something else; {_STAYS}", _AT_THE_DESK)

    def _compare_fixed(self, row: ClaimRow, facts: Claim, place: Place) -> None:
        names, snapshot = self._names, self._plan.snapshot
        if folded(row.subject) != folded(facts.subject):
            self._differs(place, "subject", row.subject)
        for column, cell in (("kind", row.kind), ("plan", row.plan)):
            if cell != getattr(facts, column) and _is_written(row, column):
                self._differs(place, column, cell)
        named = (
            ("break", row.break_name, names.breaks, facts.break_id),
            ("product", row.product, names.products, facts.product_id),
            ("maker", row.maker, names.makers, facts.maker_id),
        )
        for column, cell, keys, key in named:
            if cell and keys.get(folded(cell)) != key:
                self._differs(place, column, cell)
        if row.participants and facts.owner_kind != "nobody":
            known = {names.known_person(name) for name in row.participants if not names.is_house(name)}
            recorded_people = {facts.owner_id, facts.first_owner_id, *facts.candidates} - {None}
            if not known <= recorded_people:
                self._differs(place, "participant", ";".join(row.participants))
        starts = snapshot.breaks[facts.break_id]["night"] if facts.break_id is not None else None
        if facts.pull_day not in (row.pulled_at.day, date.fromisoformat(starts) if starts else None):
            self._differs(place, "pulled_at", row.pulled_at.day.isoformat())

    def _filled(self, row: ClaimRow, facts: Claim, place: Place) -> dict[str, Any]:
        """What the row says where nothing is recorded; a warning where something else is."""
        account = self._names.account(row.account, facts.maker_id, place) if row.account else None
        found: dict[str, Any] = {}
        for name in _FILLED:
            cell = account if name == "account_id" else getattr(row, name)
            recorded = getattr(facts, name)
            if cell in (None, ""):
                continue
            if recorded in (None, ""):
                found[name] = cell.isoformat() if isinstance(cell, date) else cell
            elif cell != recorded:
                shown = row.account if name == "account_id" else str(cell)
                self._differs(place, name.removesuffix("_id"), shown)
        if row.value is not None:
            if facts.value is None:
                found["value"], found["currency"] = row.value.minor, row.value.currency
            elif (row.value.minor, row.value.currency) != (facts.value, facts.currency):
                self._differs(place, "value", None)
        return found

    def _new_dates(self, row: ClaimRow, facts: Claim, events: list[Event], place: Place) -> Iterator[Event]:
        recorded = {
            "submitted": facts.submitted_on,
            "refused": facts.refused_on,
            "in_hand": facts.in_hand_on,
            "shipped": facts.shipped_on,
            "closed": facts.closed_on if facts.settled_on is None else facts.settled_on,
        }
        latest = {"asked": facts.last_asked_on, "told": facts.last_told_on}
        for event in dated_events(row, {}):
            column = _COLUMN_OF[event.kind]
            if event.kind in recorded:
                present = recorded[event.kind]
                if present is None:
                    yield event
                elif present != event.day:
                    self._differs(place, column, event.day.isoformat())
                elif event.kind == "closed" and (facts.settled_how or facts.closed_how) != row.closed_how:
                    self._differs(place, "closed_how", row.closed_how)
                continue
            present = latest[event.kind]
            if present is None or event.day > present:
                yield self._told(event, facts, events) if event.kind == "told" else event
            elif present != event.day and not any(
                known.kind == event.kind and known.day == event.day for known in events
            ):
                self._differs(place, column, event.day.isoformat())

    def _told(self, event: Event, facts: Claim, events: list[Event]) -> Event:
        """The telling, to whoever owned the claim on that day or, where the house did, had owned it before."""
        then = fold(facts.id, events, until=event.day) or facts
        if then.owner_kind in ("several", "nobody"):
            return event
        person_id = then.owner_id or then.first_owner_id
        if person_id is None:
            return event
        self._plan.tellings.setdefault((person_id, event.day), []).append(facts.id)
        return Event("told", event.day, {"person": person_id})

    def _late_owner(self, row: ClaimRow, facts: Claim, correction: dict[str, Any], place: Place) -> Event | None:
        """Who owns a card of which nobody could say so before."""
        if facts.owner_kind != "nobody":
            return None
        owner = Owner.nobody()
        if row.participants:
            owner = self._owners.named(row, place)
        elif facts.break_id is not None and {"serial", "team", "numbered_to"} & set(correction):
            owner = self._owners.by_spots(
                facts.break_id,
                facts.product_id,
                facts.subject,
                correction.get("team", facts.team),
                correction.get("numbered_to", facts.numbered_to),
                correction.get("serial", facts.serial),
            ).owner
        if owner.kind == "nobody":
            return None
        return Event("owner", row.in_hand_on or facts.last_event_on, owner.body())


_COLUMN_OF = {
    "submitted": "submitted_on",
    "asked": "last_asked_on",
    "refused": "refused_on",
    "in_hand": "in_hand_on",
    "shipped": "shipped_on",
    "closed": "closed_on",
    "told": "last_told_on",
}


def _is_written(row: ClaimRow, column: str) -> bool:
    return bool(row.cells[columns_of(Kind.CLAIMS).index(column)])
