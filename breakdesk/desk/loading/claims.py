"""Loads claims: finds those that the desk has, makes those that it has not."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from datetime import datetime

from breakdesk.desk.loading.claim_events import dated_events, in_order, pulled_body
from breakdesk.desk.loading.codes import Codes
from breakdesk.desk.loading.known_claims import Additions
from breakdesk.desk.loading.names import Names
from breakdesk.desk.loading.notes import keep_note
from breakdesk.desk.loading.owners import Owners
from breakdesk.desk.loading.plan import NewClaim, Place, Plan
from breakdesk.desk.loading.reading import Sheet
from breakdesk.desk.loading.report import Counts
from breakdesk.files.row_kinds import ClaimRow
from breakdesk.rules.claim import Event
from breakdesk.rules.clocks import instant_of, pull_day
from breakdesk.rules.parties import House
from breakdesk.rules.story import fold
from breakdesk.rules.tags import TAG_ALPHABET, TAG_COUNT, TAG_LENGTH, can_be_tag, is_well_formed, make_tag
from breakdesk.store import models
from breakdesk.store.claims import tag_key
from breakdesk.store.loading import KnownClaims, read_known_claims
from breakdesk.store.models import StrictSqlite

ROWS_BETWEEN_REPORTS = 1000
_SYMBOLS = frozenset(TAG_ALPHABET)


@dataclass(slots=True)
class ClaimLoad:
    """The loading of all rows of claims."""

    plan: Plan
    names: Names
    database: StrictSqlite
    counts: Counts
    known: KnownClaims = field(init=False)
    owners: Owners = field(init=False)
    codes: Codes = field(init=False)
    additions: Additions = field(init=False)
    house: House = field(init=False)
    _by_tag: dict[str, int] = field(default_factory=dict)
    """Claims that this load makes."""
    _by_digest: dict[str, int] = field(default_factory=dict)
    _tags: set[str] = field(default_factory=set)

    def __post_init__(self) -> None:
        self.known = read_known_claims(self.database)
        self.owners = Owners(self.plan, self.names)
        self.codes = Codes(self.plan, self.database)
        self.additions = Additions(self.plan, self.names, self.owners, self.codes, self.database)
        self.house = self.plan.house()

    def run(self, sheets: Sequence[Sheet], progress: Callable[[int, int], None]) -> None:
        """Takes all rows, file by file."""
        total = sum(len(sheet.rows) for sheet in sheets)
        done = 0
        self._tags = set(self.known.by_tag)
        for sheet in sheets:
            self._tags |= {tag_key(row.tag) for row in sheet.rows if isinstance(row, ClaimRow) and row.tag}
        for sheet in sheets:
            seen: Counter[tuple[str, ...]] = Counter()
            for row in sheet.rows:
                assert isinstance(row, ClaimRow)
                if done % ROWS_BETWEEN_REPORTS == 0:
                    progress(done, total)
                done += 1
                self._take(row, Place(sheet.file, row.line), seen)
        self.additions.finish(self.counts)

    def _take(self, row: ClaimRow, place: Place, seen: Counter[tuple[str, ...]]) -> None:
        if row.tag and not self._is_tag(row, place):
            return
        ordinal = 1
        if not row.tag:
            seen[row.cells] += 1
            ordinal = seen[row.cells]
        digest = self.plan.digest("claim", ordinal, *row.cells)
        if digest in self.known.by_digest or digest in self._by_digest:
            self.counts.known += 1
            return
        if row.tag:
            key = tag_key(row.tag)
            if key in self.known.by_tag:
                self.additions.note(self.known.by_tag[key], row, place)
                return
            if key in self._by_tag:
                self.additions.add_to_new(self.plan.claims[self._by_tag[key]], row, place, self.counts)
                return
        self._make(row, place, digest)

    def _is_tag(self, row: ClaimRow, place: Place) -> bool:
        if not can_be_tag(row.tag):
            what = "this cannot be a tag"
            self.plan.error(place, "tag", row.tag, what, "Write 1 to 24 letters and digits, or leave it empty.")
            return False
        key = tag_key(row.tag)
        looks_like_ours = len(key) == TAG_LENGTH and _SYMBOLS.issuperset(key)
        if looks_like_ours and key not in self.known.by_tag and not is_well_formed(key):
            what = "this tag does not add up: a symbol may be wrong, or two may be swapped"
            self.plan.warn(place, "tag", row.tag, what, "Compare it with the sleeve.")
        return True

    def _make(self, row: ClaimRow, place: Place, digest: str) -> None:
        plan, names = self.plan, self.names
        maker_id = names.maker(row.maker, place)
        product_id = names.product(row.product, maker_id, place)
        if maker_id is None:
            maker_id = names.product_maker(product_id)
        account_id = names.account(row.account, maker_id, place)
        break_id = names.break_of_claim(row.break_name, place)
        owner = self.owners.of(row, break_id, product_id, place)
        claim_id = plan.next_id(models.Claim)
        tag = row.tag or self._free_tag(claim_id)
        day = pull_day(row.pulled_at.instant, row.pulled_at.day, self._start_of(break_id), self.house)
        body = pulled_body(
            row, tag, day, owner, break_id=break_id, product_id=product_id, maker_id=maker_id, account_id=account_id
        )
        told = {"person": owner.ids[0]} if owner.kind == "person" else {}
        events = [Event("pulled", day, body), *in_order(dated_events(row, told))]
        note_id = None
        if row.note:
            note_id, said = keep_note(plan, row.note)
            events.insert(1, Event("noted", day, said))
        facts = fold(claim_id, events)
        assert facts is not None, "the first event is the pull"
        made = NewClaim(claim_id, events, facts, digest, note_id, row.note)
        plan.claims[claim_id] = made
        self._by_tag[tag_key(tag)] = claim_id
        self._by_digest[digest] = claim_id
        self.codes.take(row, made.claim_id, tag, place)
        if row.last_told_on is not None and told:
            plan.tellings.setdefault((told["person"], row.last_told_on), []).append(claim_id)
        self.counts.new += 1

    def _start_of(self, break_id: int | None) -> datetime | None:
        if break_id is None:
            return None
        microseconds = self.plan.snapshot.breaks[break_id]["starts_at"]
        return None if microseconds is None else instant_of(microseconds)

    def _free_tag(self, start: int) -> str:
        number = start
        while make_tag(number % TAG_COUNT) in self._tags:
            number += 1
        tag = make_tag(number % TAG_COUNT)
        self._tags.add(tag)
        return tag
