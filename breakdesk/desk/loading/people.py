"""Loads participants, with how they are reached and where their cards go."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from breakdesk.desk.loading.merging import Merged, merged
from breakdesk.desk.loading.names import Names
from breakdesk.desk.loading.plan import Place, Plan
from breakdesk.desk.loading.reading import Sheet
from breakdesk.desk.loading.report import Counts
from breakdesk.rules.clocks import microseconds_of
from breakdesk.rules.names import folded
from breakdesk.store import models
from breakdesk.store.words import words_of

_OWN = ("handle", "on_air_name", "channel", "zone", "language")
_CONTACT = ("email", "phone")
_COLUMNS = (*_OWN, *_CONTACT, "address", "address_country", "address_confirmed_on")


def plan_people(plan: Plan, names: Names, sheets: Sequence[Sheet], counts: Counts) -> None:
    """Takes participants' rows; an empty cell keeps what is known."""

    def key_of(row: Any, place: Place) -> object:
        key = names.key(row.participant, place, "participant" if row.participant != row.handle else "handle")
        if key is not None and names.is_house(row.participant):
            what = "this is the house itself, which is no participant"
            plan.error(place, "participant", row.participant, what, "Take the row out, or write the person's name.")
            return None
        if names.was_merged(row.participant):
            what = "this participant was merged with another, whose record stays as it is"
            plan.warn(place, "participant", row.participant, what, "Change it at the desk, if something is new.")
            return None
        return names.known_person(row.participant) or key

    pairs = [(sheet.file, sheet.rows) for sheet in sheets]
    for item in merged(plan, pairs, _COLUMNS, key_of, "participant"):
        name = item.first.participant
        present = names.known_person(name)
        person_id = names.define_person(name) if present is None else present
        names.note_handle(item.values.get("handle", ""), person_id)
        _warn_of_doubled_handle(plan, names, item, person_id)
        digest = plan.digest("participant", name, *(item.values.get(column) for column in _COLUMNS))
        same = plan.is_same_row(f"participant {person_id}", digest)
        changed = [] if same else _change(plan, person_id, item, is_new=present is None)
        if present is None or changed:
            plan.line("participant", person_id, columns=changed or ["participant"])
            plan.people.add(person_id)
        if present is None:
            counts.new += 1
        elif changed:
            counts.changed += 1
        else:
            counts.known += 1


def _warn_of_doubled_handle(plan: Plan, names: Names, item: Merged, person_id: int) -> None:
    handle = item.values.get("handle")
    if handle and names.has_other_of_handle(handle, person_id):
        what = "another participant has this handle, so it names neither"
        plan.warn(item.places["handle"], "handle", handle, what, "Check which of the two it belongs to.")


def _change(plan: Plan, person_id: int, item: Merged, *, is_new: bool) -> list[str]:
    present = plan.snapshot.participants[person_id]
    wanted = {column: item.values[column] for column in _OWN if column in item.values}
    name = item.first.participant
    if folded(name) == present["folded"] and name != present["name"]:
        wanted["name"] = name
    own = {column: value for column, value in wanted.items() if present[column] != value}
    if own:
        present.update(own)
        plan.change(models.Participant, person_id, own)
    if is_new or {"name", "handle", "on_air_name"} & set(own):
        found = words_of(present["name"], present["handle"], present["on_air_name"])
        (plan.new_words if is_new else plan.changed_words).append((person_id, found))
    changed = ["participant" if column == "name" else column for column in own]
    changed += _change_contact(plan, person_id, item)
    changed += _change_address(plan, person_id, item)
    return changed


def _change_contact(plan: Plan, person_id: int, item: Merged) -> list[str]:
    present = plan.snapshot.contacts.get(person_id)
    known = present or {}
    wanted = {
        column: item.values[column]
        for column in _CONTACT
        if column in item.values and known.get(column, "") != item.values[column]
    }
    if not wanted:
        return []
    if present is None:
        plan.add(models.Contact, participant_id=person_id, **wanted)
    else:
        plan.change(models.Contact, person_id, wanted)
    plan.snapshot.contacts[person_id] = {**known, **wanted}
    return list(wanted)


def _change_address(plan: Plan, person_id: int, item: Merged) -> list[str]:
    text, country = item.values.get("address"), item.values.get("address_country", "")
    confirmed: date | None = item.values.get("address_confirmed_on")
    present = plan.snapshot.addresses.get(person_id)
    if present is None or (text and text != present["text"]):
        if not text:
            return _no_address(plan, item)
        if present is not None:
            plan.change(models.Address, present["id"], {"ended_at": microseconds_of(plan.now)})
        values = {
            "text": text,
            "country": country or (present["country"] if present else ""),
            "confirmed_on": confirmed.isoformat() if confirmed else None,
        }
        address_id = plan.add(
            models.Address,
            participant_id=person_id,
            since=plan.today.isoformat() if present else None,
            recorded_at=microseconds_of(plan.now),
            **values,
        )
        plan.snapshot.addresses[person_id] = {"id": address_id, **values}
        return ["address"]
    wanted: dict[str, str] = {}
    if country and country != present["country"]:
        wanted["country"] = country
    # A confirmation given at the desk since is not taken back by an older file.
    if confirmed and confirmed.isoformat() > (present["confirmed_on"] or ""):
        wanted["confirmed_on"] = confirmed.isoformat()
    if wanted:
        present.update(wanted)
        plan.change(models.Address, present["id"], wanted)
    return [f"address_{column}" for column in wanted]


def _no_address(plan: Plan, item: Merged) -> list[str]:
    for column in ("address_country", "address_confirmed_on"):
        if column in item.values:
            what = "it is left out, because there is no address that it could belong to"
            plan.warn(item.places[column], column, str(item.values[column]), what, "Write the address, too.")
    return []
