"""Live entry: a line is read against the running break, and what it means becomes a claim."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import Any

from breakdesk.desk.acting import Act, act
from breakdesk.desk.codes import write_code
from breakdesk.desk.creating import create_claim
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import require_people
from breakdesk.desk.ownership import break_facts, facts_of, people_of
from breakdesk.desk.problems import Result, refuse
from breakdesk.desk.video import stream_seconds
from breakdesk.rules import clocks
from breakdesk.rules.arrival_matching import TO_BE_NAMED
from breakdesk.rules.break_facts import BreakFacts, Person
from breakdesk.rules.entry import Kept, Lexicon, Reading, Readings, RecentClaim, read
from breakdesk.rules.ownership import Owner, owner_of
from breakdesk.rules.parties import House, Maker
from breakdesk.rules.tags import can_be_tag
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag, read_claims
from breakdesk.store.parties import read_house, read_makers
from breakdesk.store.spots import (
    maker_of_product,
    read_checklists,
    read_older_checklists,
    split_words,
    table_stamp,
)

RECENT_CLAIMS = 12


@dataclass(frozen=True, slots=True)
class Table:
    """What lies on the table while a break runs: its words, its products and people, and what was just written down."""

    break_id: int | None
    facts: BreakFacts | None
    lexicon: Lexicon
    products: dict[int, tuple[str, int | None]]
    """By key: the product's name and its maker's key."""
    people: dict[int, Person]
    recent: tuple[RecentClaim, ...]
    house: House
    makers: dict[int, Maker]
    stamp: tuple[int | None, ...]
    """What the desk held when this was read; see `is_stale`."""

    def today(self, product_id: int | None, now: datetime) -> date:
        """The date against which an expiry is held: the maker's, or the house's where no maker is known."""
        if product_id is None and len(self.products) == 1:
            product_id = next(iter(self.products))
        maker = self.makers.get(self.products.get(product_id or 0, ("", None))[1] or 0)
        return (maker or self.house).today(now)

    def with_recent(self, recent: tuple[RecentClaim, ...]) -> Table:
        """The table after something was written down."""
        return replace(self, recent=recent)


def open_table(desk: Desk, break_id: int | None, before: Table | None = None) -> Table:
    """Reads everything that the entry line of a break needs. Takes a moment: not for a key press.

    `before` is an earlier table, whose words are taken over where no card and no spot came since.
    """
    stamp = table_stamp(desk.database, break_id)
    facts = None if break_id is None else break_facts(break_id)
    table = models.Product
    known = {row.id: (row.name, row.maker_id) for row in table.select(table.id, table.name, table.maker)}
    product_ids = facts.product_ids if facts else ()
    house = read_house()
    currency = house.terms.on("currency", house.today(desk.clock.as_of()))
    people = people_of()
    if before is not None and before.break_id == break_id and before.stamp[0] == stamp[0]:
        lexicon = before.lexicon.renewed(facts, people, currency)
    else:
        lexicon = None
    if lexicon is None:
        cards = read_checklists(desk.database, product_ids or known)
        older = read_older_checklists(desk.database, product_ids) if product_ids else ()
        lexicon = Lexicon.build(facts, cards, people, older, currency=currency)
    return Table(
        break_id=break_id,
        facts=facts,
        lexicon=lexicon,
        products={key: known[key] for key in product_ids} if product_ids else known,
        people={person.id: person for person in people},
        recent=recent_claims(desk, break_id),
        house=house,
        makers=read_makers(desk.database),
        stamp=stamp,
    )


def is_stale(desk: Desk, table: Table) -> bool:
    """Whether a checklist, a participant or a spot was added or changed since a table was opened."""
    return table_stamp(desk.database, table.break_id) != table.stamp


def recent_claims(desk: Desk, break_id: int | None) -> tuple[RecentClaim, ...]:
    """The last claims written down in a break, newest first."""
    where = "claim.break_id = ?" if break_id is not None else "claim.break_id IS NULL"
    values: list[Any] = [break_id] if break_id is not None else []
    where += (
        " AND claim.state <> 'void' AND claim.pulled_at IS NOT NULL AND claim.id > (SELECT max(id) - 200 FROM claim)"
    )
    latest = list(read_claims(desk.database, where, values))[-RECENT_CLAIMS:]
    return tuple(
        RecentClaim(
            card_id=claim.card_id,
            subjects=split_words(claim.subject),
            variation=claim.variation,
            numbered_to=claim.numbered_to,
            serial=claim.serial,
            pulled_at=clocks.instant_of(claim.pulled_at),
        )
        for claim in reversed(latest)
        if claim.pulled_at is not None
    )


def read_line(table: Table, line: str, kept: Kept, now: datetime) -> Readings:
    """What a line means on this table; touches neither disk nor clock."""
    return read(line, table.lexicon, kept, today=table.today(kept.product_id, now), now=now, recent=table.recent)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pull:
    """A claim to be written down as it was read. `owner` overrides what the break says; `pulled_at` the clock."""

    break_id: int | None
    reading: Reading
    owner: Owner | None = None
    code: str = ""
    seen_on_camera: bool = False
    pulled_at: datetime | None = None


def pull(desk: Desk, request: Pull, key: int | None = None) -> Result:
    """Writes a claim down: durable when this returns."""

    def work(a: Act) -> str:
        reading = request.reading
        if not _names_a_card(reading):
            raise refuse("The line names no card.", "Type at least the player's name.")
        row = None if request.break_id is None else models.Break.get_or_none(models.Break.id == request.break_id)
        if row is None and request.break_id is not None:
            raise refuse("That break is not in the desk.", "Load its spots first.")
        facts = None if row is None else facts_of(row)
        owner = request.owner or owner_of(reading.pull(), facts).owner
        require_people(owner.ids)
        pulled_at = request.pulled_at or a.happened
        body = _body(a, request, owner, facts, row, pulled_at)
        starts_at = row.starts_at if row else None
        day = clocks.pull_day(pulled_at, None, starts_at, a.house)
        claim_id, tag = create_claim(a, body, day=day)
        if request.code:
            write_code(a, a.claim(claim_id), request.code)
        if reading.note.value:
            a.add(claim_id, "noted", a.text(reading.note.value), day=max(day, a.day))
        if row is not None and row.first_pack_at is None:
            table = models.Break
            table.update(first_pack_at=pulled_at).where(table.id == row.id, table.first_pack_at.is_null()).execute()
        return f"{tag}: {what_of(a.claim(claim_id))} for {owner_words(a, owner)}."

    return act(desk, "pull", work, key, beside=True)


def _names_a_card(reading: Reading) -> bool:
    """Whether a line says more than who gets it and from which box: a card may still lack its player.

    Of a missing hit nobody knows more before the maker sends something for it.
    """
    return reading.kind.value == "shortage" or any(
        (
            reading.subjects.value,
            reading.note.value,
            reading.teams.value,
            reading.features.value,
            reading.variation.value,
        )
    )


def _body(
    a: Act, request: Pull, owner: Owner, facts: BreakFacts | None, row: models.Break | None, pulled_at: datetime
) -> dict[str, Any]:
    reading = request.reading
    product_id = reading.product_id.value
    if product_id is None and facts is not None and len(facts.product_ids) == 1:
        product_id = facts.product_ids[0]
    value = reading.value.value
    body: dict[str, Any] = {
        "kind": reading.kind.value,
        "plan": reading.plan.value,
        "subject": ";".join(reading.subjects.value) or reading.note.value or TO_BE_NAMED,
        "team": ";".join(reading.teams.value),
        "variation": reading.variation.value,
        "numbered_to": reading.numbered_to.value,
        "serial": reading.serial.value,
        "features": ";".join(reading.features.value),
        "expires_on": reading.expires_on.value.isoformat() if reading.expires_on.value else None,
        "box": str(reading.box.value) if reading.box.value is not None else "",
        "value": value.minor if value else None,
        "currency": value.currency if value else None,
        "card_id": reading.card_id.value,
        "product_id": product_id,
        "maker_id": None if product_id is None else maker_of_product(a.desk.database, product_id),
        "break_id": request.break_id,
        "pulled_at": clocks.microseconds_of(pulled_at),
        "seen_on_camera": int(request.seen_on_camera),
        "tag": _wanted_tag(reading.tag.value),
        **owner.body(),
    }
    seconds = None if row is None else stream_seconds(row, pulled_at)
    if seconds is not None:
        body["video_seconds"] = seconds
    return {name: said for name, said in body.items() if said not in (None, "")}


def owner_words(a: Act, owner: Owner) -> str:
    """Whom a card is for, in words for the person at the desk."""
    if owner.kind == "house":
        return a.house.name
    if owner.kind == "nobody":
        return "nobody yet"
    people = {person.id: person for person in people_of(set(owner.ids))}
    names = [people[key].on_air_name or people[key].handle or people[key].name for key in owner.ids]
    return " or ".join([*names, a.house.name] if owner.house_too else names)


def _wanted_tag(tag: str) -> str:
    if not tag:
        return ""
    if not can_be_tag(tag):
        raise refuse(f"{tag} cannot be a tag.", "Use up to 24 printable characters.")
    if claim_with_tag(tag) is not None:
        raise refuse(f"The tag {tag} is on another claim already.", "Use the next label.")
    return tag
