"""Participants' pages: each a file of its own with a name that nobody can guess, the same one every time."""

from __future__ import annotations

import os
import secrets
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

from breakdesk.desk.answering import next_step, told_state
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.obstacles import problem_of
from breakdesk.desk.outlook import MessageOutlook
from breakdesk.desk.places import remember, remembered
from breakdesk.desk.problems import Problem
from breakdesk.desk.telling_view import offer_of
from breakdesk.desk.viewing import owed, product_names
from breakdesk.files.messages.wording import next_step_words, state_words
from breakdesk.files.person_page import PageClaim, PersonPage, page_html
from breakdesk.rules.claim import Claim
from breakdesk.rules.clocks import arrived_by, reply_by
from breakdesk.rules.days import age
from breakdesk.rules.owed import OwedClaim
from breakdesk.rules.parties import Parties, Person
from breakdesk.rules.wording import day_in_words
from breakdesk.store import models
from breakdesk.store.parties import read_parties
from breakdesk.store.projecting import people_in

RANDOM_BYTES: Final = 16
"""128 bits: nobody finds a page by trying names."""


@dataclass(frozen=True, slots=True)
class WrittenPage:
    """A participant's page that was written."""

    person_id: int
    name: str
    path: Path
    cards: int


def page_of(desk: Desk, person_id: int) -> PersonPage | None:
    """What a participant's page says; None where there is no such participant."""
    return next(pages_of(desk, [person_id]), None)


def pages_of(desk: Desk, person_ids: Sequence[int]) -> Iterator[PersonPage]:
    """What the pages of some participants say, in the order given; who is gone has none."""
    table = models.Participant
    rows = {row.id: row for row in table.select().where(table.erased_on.is_null(), table.merged_into.is_null())}
    known = [key for key in person_ids if key in rows]
    found = owed(desk, known[0]) if len(known) == 1 else owed(desk)
    lines = {item.person_id: item.claims for item in found if item.person_id in known}
    claims = [line.claim for items in lines.values() for line in items]
    parties = read_parties(desk.database, people_in(claims) | set(known))
    told = _Told(
        parties,
        parties.house.today(desk.clock.as_of()),
        product_names(claims),
        MessageOutlook(desk).sentences([claim.id for claim in claims if claim.state == "submitted"]),
    )
    for key in known:
        row, mine = rows[key], lines.get(key, ())
        due = row.tell_due_on
        yield PersonPage(
            house=parties.house.name,
            name=row.on_air_name or row.handle or row.name,
            on=told.on,
            needs=tuple(_needs(parties.people[key], [line.claim for line in mine], told)),
            claims=tuple(_claim(line, told) for line in mine),
            next_update=due if due is not None and due >= told.on else None,
        )


@dataclass(frozen=True, slots=True)
class _Told:
    """What every page is made from."""

    parties: Parties
    on: date
    products: dict[int, str]
    outlooks: dict[int, str]


def _claim(line: OwedClaim, told: _Told) -> PageClaim:
    claim, on = line.claim, told.on
    step, day = next_step(claim, told.parties, line.next_tell)
    state = told_state(claim)
    direct = state == "direct"
    dated = day is not None and day >= on
    words = next_step_words(step, asked=claim.last_asked_on is not None, dated=dated)
    return PageClaim(
        tag=claim.tag,
        what=what_of(claim),
        product=told.products.get(claim.product_id or 0, ""),
        state=state_words(state) + (", and on hold for now" if claim.on_hold and state == claim.state else ""),
        since=claim.pull_day,
        age=age(claim.pull_day, max(on, claim.pull_day)),
        next_step="" if claim.on_hold else words,
        next_day=day if dated and not claim.on_hold else None,
        outlook="" if direct else told.outlooks.get(claim.id, ""),
        tracking=claim.tracking if claim.state == "shipped" else claim.inbound_tracking if direct else "",
    )


def _needs(person: Person, claims: Sequence[Claim], told: _Told) -> Iterator[str]:
    house = told.parties.house
    for claim in claims:
        if claim.state == "offered" and claim.offer_answer is None:
            last = reply_by(claim, house)
            by = f" by {day_in_words(last)}" if last is not None else ""
            offer = offer_of(claim)
            offered = f" The maker offers: {offer}" if offer else ""
            yield f"Please tell us{by} whether you take another card instead of {what_of(claim)}, or wait.{offered}"
    here = [what_of(claim) for claim in claims if claim.state == "in_hand" and not claim.on_hold]
    if here and not person.address_is_confirmed(house, told.on):
        yield f"Please confirm the address to which we should send {' and '.join(here)}."
    for claim in claims:
        under_way = claim.state == "shipped" and claim.lost_on is None
        if under_way and claim.shipped_on is not None and arrived_by(claim.shipped_on, person, house) <= told.on:
            yield f"Please tell us whether {what_of(claim)} has arrived."


def write_pages(
    desk: Desk, person_ids: Sequence[int], folder: Path, *, new_names: bool = False
) -> tuple[WrittenPage, ...] | Problem:
    """Writes the pages of some participants into a folder, over those of before; each keeps the name it has.

    `new_names` gives each another name, as when an address was passed on: the old file in this folder goes.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        written = []
        known = [key for key in person_ids if _is_there(key)]
        for key, page in zip(known, pages_of(desk, known), strict=True):
            name = _file_name(desk, key, folder, new=new_names)
            if isinstance(name, Problem):
                return name
            _write(folder / name, page_html(page))
            written.append(WrittenPage(key, page.name, folder / name, len(page.claims)))
        return tuple(written)
    except OSError as error:
        return problem_of(desk, error) or Problem(f"{folder} cannot be written: {error.strerror}.", "Name another.")


def _is_there(person_id: int) -> bool:
    table = models.Participant
    row = table.get_or_none(table.id == person_id, table.erased_on.is_null(), table.merged_into.is_null())
    return row is not None


def _file_name(desk: Desk, person_id: int, folder: Path, *, new: bool) -> str | Problem:
    place = f"page of participant {person_id}"
    token = remembered(desk, place)
    if token and not new:
        return f"{token}.html"
    fresh = secrets.token_hex(RANDOM_BYTES)
    problem = remember(desk, place, fresh)
    if problem is not None:
        return problem
    if token:
        (folder / f"{token}.html").unlink(missing_ok=True)
    return f"{fresh}.html"


def _write(path: Path, text: str) -> None:
    unfinished = path.with_name(f".{path.name}.unfinished")
    handle = os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0), 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(text.encode("utf-8"))
    unfinished.replace(path)


def everybody_with_a_page(desk: Desk) -> list[int]:
    """Participants who are owed something, and those who have a page already and are owed nothing any more."""
    wanted = {item.person_id for item in owed(desk) if item.person_id is not None}
    start = "page of participant "
    rows = models.Setting.select(models.Setting.name).where(models.Setting.name.startswith(start))
    wanted |= {int(row.name.removeprefix(start)) for row in rows}
    return sorted(key for key in wanted if _is_there(key))
