"""Two records of one person made one, and split again: two handles, one person."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import person_named
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.identity import OWNER, SHARED, places_of
from breakdesk.rules.names import folded
from breakdesk.rules.wording import counted
from breakdesk.store import merging, models, words

MERGED, SPLIT = "merged", "split from"


def merge(desk: Desk, name: str, into: str, key: int | None = None) -> Result:
    """Makes the record `name` a second name of the record `into`: claims, tellings, promises and parcels go over.

    Nobody is told, since nobody got or lost a card. The address and the contact of `into` stay; where it has none,
    those of the other are taken.
    """

    def work(a: Act) -> str:
        gone, kept = person_named(name), person_named(into)
        if gone.id == kept.id:
            raise refuse(f"{name} and {into} are one participant already.")
        if gone.erased_on is not None or kept.erased_on is not None:
            raise refuse("A participant who was erased is merged with nobody.")
        source, target = int(gone.id), int(kept.id)
        claims = merging.claims_naming(a.desk.database, source)
        for claim in claims:
            places = places_of(claim, source, target)
            a.add_in_order(claim, "same_person", {"from": source, "to": target, "places": places})
        body: dict[str, Any] = {"into": target, "claims": [claim.id for claim in claims]}
        for moved in merging.OWNED:
            body[moved] = merging.move_rows(moved, source, target)
        body["names"] = [source, *_earlier_merged(source)]
        body["taken"] = _take_address_and_contact(a, source, target)
        table = models.Participant
        marks = {"merged_into": target, "version": table.version + 1}
        table.update(**marks).where(table.id.in_(body["names"])).execute()
        if kept.opted_out != gone.opted_out:
            a.warnings.append("One of the two had opted out of messages: both stand for no messages now.")
            table.update(opted_out=True).where(table.id == target).execute()
        _rewrite_words(a, target)
        a.line("participant", source, MERGED, body)
        a.people |= {source, target}
        return f"{gone.name} is merged into {kept.name}: {counted(len(claims), 'claim')} went over."

    return act(desk, "merge", work, key)


def _earlier_merged(person_id: int) -> list[int]:
    table = models.Participant
    return [int(row.id) for row in table.select(table.id).where(table.merged_into == person_id)]


def _take_address_and_contact(a: Act, source: int, target: int) -> dict[str, Any]:
    """Fills what the kept record lacks; returns what was taken, by key and name only, so that it can go back."""
    taken: dict[str, Any] = {"address": [], "contact": []}
    addresses = models.Address
    of_target = addresses.select().where(addresses.participant == target, addresses.ended_at.is_null())
    if not of_target.exists():
        own = addresses.select().where(addresses.participant == source, addresses.ended_at.is_null())
        taken["address"] = [int(row.id) for row in own]
        addresses.update(participant=target).where(addresses.id.in_(taken["address"] or [0])).execute()
    contacts = models.Contact
    other = contacts.get_or_none(contacts.participant == source)
    if other is not None:
        present = contacts.get_or_none(contacts.participant == target)
        if present is None:
            present = contacts.create(participant=target)
        filled = {
            column: getattr(other, column)
            for column in ("email", "phone")
            if getattr(other, column) and not getattr(present, column)
        }
        if filled:
            contacts.update(**filled).where(contacts.participant == target).execute()
        taken["contact"] = sorted(filled)
    return taken


def _rewrite_words(a: Act, person_id: int) -> None:
    """The kept record is found by every name of all records that are one with it."""
    table = models.Participant
    rows = list(table.select().where((table.id == person_id) | (table.merged_into == person_id)))
    found = words.words_of(*(part for row in rows for part in (row.name, row.handle, row.on_air_name)))
    words.rewrite_words(a.desk.database, "participant", person_id, found)
    for row in rows:
        if row.id != person_id:
            words.rewrite_words(a.desk.database, "participant", int(row.id), set())


@dataclass(frozen=True, slots=True)
class MergedName:
    """A record that became a second name of another one."""

    person_id: int
    name: str
    handle: str
    on_air_name: str


def merged_names(desk: Desk, person_id: int) -> tuple[MergedName, ...]:
    """The records that were merged into a participant."""
    table = models.Participant
    rows = table.select().where(table.merged_into == person_id).order_by(table.id)
    return tuple(MergedName(int(row.id), row.name, row.handle, row.on_air_name) for row in rows)


def split(desk: Desk, name: str, key: int | None = None) -> Result:
    """Takes a merge back: what went over with it goes back as far as it still is with the kept record.

    What came since, such as a card pulled since, stays with the kept record; change its owner by hand where it has to.
    """

    def work(a: Act) -> str:
        gone = _merged_row(name)
        source = int(gone.id)
        table, lines = models.Participant, models.HistoryLine
        line = (
            lines.select()
            .where(lines.thing == "participant", lines.thing_id == source, lines.kind == MERGED)
            .order_by(lines.id.desc())
            .first()
        )
        body = json.loads(line.body)
        target = int(gone.merged_into_id or 0)
        if body["into"] != target:
            raise refuse(f"{gone.name} was merged into somebody who was merged on.", "Split that one first.")
        back = _give_claims_back(a, line, source, target)
        for moved in merging.OWNED:
            merging.give_rows_back(moved, body[moved], source, target)
        merging.give_rows_back(merging.ADDRESS, body["taken"]["address"], source, target)
        contacts = models.Contact
        emptied = dict.fromkeys(body["taken"]["contact"], "")
        if emptied:
            contacts.update(**emptied).where(contacts.participant == target).execute()
        table.update(merged_into=None, version=table.version + 1).where(table.id == source).execute()
        others = [key for key in body["names"] if key != source]
        table.update(merged_into=source).where(table.id.in_(others or [0])).execute()
        _rewrite_words(a, target)
        _rewrite_words(a, source)
        a.line("participant", source, SPLIT, {"from": target})
        a.people |= {source, target}
        return f"{gone.name} and {table.get_by_id(target).name} are two again: {counted(back, 'claim')} went back."

    return act(desk, "split", work, key)


def _merged_row(name: str) -> models.Participant:
    wanted = folded(name)
    table = models.Participant
    rows = [
        row
        for row in table.select().where(table.merged_into.is_null(False))
        if wanted in (row.folded, folded(row.handle), folded(row.on_air_name))
    ]
    if len(rows) != 1:
        raise refuse(
            f"{'No record' if not rows else 'More than one record'} that was merged is called {name}.",
            "Name the record that was merged into the other one.",
        )
    return rows[0]


def _give_claims_back(a: Act, line: models.HistoryLine, source: int, target: int) -> int:
    lines = models.HistoryLine
    moved = lines.select().where(lines.action == line.action, lines.thing == "claim", lines.kind == "same_person")
    places = {row.thing_id: json.loads(row.body)["places"] for row in moved.order_by(lines.id)}
    back = 0
    for claim in a.claims(sorted(places)):
        still = [place for place in places[claim.id] if place in places_of(claim, target, source) and place != SHARED]
        if claim.state == "void" or not still:
            continue
        a.add_in_order(claim, "same_person", {"from": target, "to": source, "places": still})
        back += OWNER in still
    return back
