"""A participant's own data: all of it given out in a file, and erased for good on their request."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from breakdesk.desk.acting import Act, act
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import person_named
from breakdesk.desk.problems import Done, Problem, Refusal, Result, refuse
from breakdesk.desk.retelling import story_of
from breakdesk.desk.told import tellings_of
from breakdesk.desk.viewing import product_names
from breakdesk.files.plain_text import harmless_json
from breakdesk.files.private import for_its_owner
from breakdesk.rules.wording import counted
from breakdesk.store import history, models, personal
from breakdesk.store.claims import claims_with_keys
from breakdesk.store.engine import forget_free_space
from breakdesk.store.parties import read_house

EVERY_TELLING = 1_000_000


def held_about(desk: Desk, name: str) -> dict[str, Any] | Problem:
    """Everything the desk holds about a participant, as values for JSON. Codes are not about them and stay out."""
    try:
        person = person_named(name)
    except Refusal as refusal:
        return refusal.problem
    key = int(person.id)
    keys = _records(key)
    return {
        "house": read_house().name,
        "written_at": desk.clock.now().isoformat(timespec="seconds"),
        "records": [_record(one) for one in keys],
        "claims": _claims(desk, keys),
        "messages": [
            {
                "day": told.day.isoformat(),
                "at": told.told_at.isoformat(timespec="seconds") if told.told_at else None,
                "channel": told.channel,
                "text": told.text,
                "claims": list(told.tags),
                "taken_back": told.undone,
            }
            for one in keys
            for told in tellings_of(desk, one, EVERY_TELLING)
        ],
        "promises": [
            {"due_on": row.due_on.isoformat(), "text": history.text_of(row.text_id), "done": row.done_on is not None}
            for row in models.FollowUp.select().where(models.FollowUp.participant.in_(keys))
        ],
        "parcels": [_parcel(row) for row in models.Parcel.select().where(models.Parcel.participant.in_(keys))],
        "spots": _spots(keys),
        "notes": _notes(keys),
    }


def _records(person_id: int) -> list[int]:
    """The record itself and those that were merged into it."""
    table = models.Participant
    return [person_id, *(int(row.id) for row in table.select(table.id).where(table.merged_into == person_id))]


def _record(person_id: int) -> dict[str, Any]:
    row = models.Participant.get_by_id(person_id)
    contact = models.Contact.get_or_none(models.Contact.participant == person_id)
    addresses, recipients = models.Address, models.Recipient
    columns = ("name", "handle", "on_air_name", "channel", "fallback_channel", "language", "zone", "wish")
    return {
        **{column: getattr(row, column) for column in columns},
        "opted_out": bool(row.opted_out),
        "on_hold": bool(row.on_hold),
        "email": contact.email if contact else "",
        "phone": contact.phone if contact else "",
        "addresses": [
            {
                "address": one.text,
                "country": one.country,
                "confirmed_on": one.confirmed_on.isoformat() if one.confirmed_on else None,
                "in_use": one.ended_at is None,
            }
            for one in addresses.select().where(addresses.participant == person_id).order_by(addresses.id)
        ],
        "sends_to": [
            {"name": one.name, "address": one.text, "country": one.country}
            for one in recipients.select().where(recipients.participant == person_id).order_by(recipients.id)
        ],
    }


def _claims(desk: Desk, keys: list[int]) -> list[dict[str, Any]]:
    claims = claims_with_keys(desk.database, personal.claims_ever_of(desk.database, keys))
    products = product_names(claims)
    events = history.claim_events([claim.id for claim in claims])
    return [
        {
            "tag": claim.tag,
            "card": what_of(claim),
            "product": products.get(claim.product_id or 0, ""),
            "state": claim.state,
            "still_theirs": claim.owner_id in keys,
            "value_minor": claim.value,
            "currency": claim.currency,
            "history": [
                # As a stream may see it: the names of other people are not theirs to have.
                {"day": line.day.isoformat(), "what": line.said_on_air, "text": line.text}
                for line in story_of(desk, events[claim.id])
            ],
        }
        for claim in claims
    ]


def _parcel(row: models.Parcel) -> dict[str, Any]:
    return {
        "state": row.state,
        "tracking": row.tracking,
        "shipped_on": row.shipped_on.isoformat() if row.shipped_on else None,
        "gift_note": row.gift_note,
        "extra": row.extra,
    }


def _spots(keys: list[int]) -> list[dict[str, Any]]:
    holders, spots, breaks = models.SpotHolder, models.Spot, models.Break
    rows = (
        spots.select(spots, breaks)
        .join(breaks)
        .switch(spots)
        .join(holders, on=(holders.spot == spots.id))
        .where(holders.participant.in_(keys))
    )
    return [
        {"break": row.break_.name, "spot": row.holds, "price_minor": row.price, "currency": row.currency}
        for row in rows
    ]


def _notes(keys: list[int]) -> list[dict[str, Any]]:
    lines = models.HistoryLine
    rows = lines.select().where(lines.thing == "participant", lines.thing_id.in_(keys)).order_by(lines.id)
    return [
        {"day": row.day.isoformat(), "what": row.kind, "text": history.text_of(json.loads(row.body).get("text"))}
        for row in rows
    ]


def write_held(desk: Desk, name: str, path: Path) -> Path | Problem:
    """Writes everything held about a participant into a new file that only its owner can read."""
    held = held_about(desk, name)
    if isinstance(held, Problem):
        return held
    try:
        with open(path, "x", encoding="utf-8", newline="\n", opener=for_its_owner) as to:
            to.write(harmless_json(json.dumps(held, ensure_ascii=False, indent=2)) + "\n")
    except FileExistsError:
        return Problem(f"{path} is there already.", "Name a new file, so that nothing is written over.")
    except OSError as error:
        return Problem(f"{path} cannot be written: {error.strerror}.", "Name another place.")
    return path


def erase(desk: Desk, name: str, *, although_owed: bool = False, key: int | None = None) -> Result:
    """Removes everything that says who a participant is, for good; claims and amounts stay, under a number.

    Refused while something is owed to them, unless `although_owed`. Texts that name them go whole, whoever else they
    are about. The history, which never held any of it, stays as it is. Backups made before still hold it until they
    are gone; docs/messages.md says when.
    """

    def work(a: Act) -> str:
        person = person_named(name)
        person_id, keys = int(person.id), _records(int(person.id))
        if person.erased_on is not None:
            raise refuse("That participant is erased already.")
        open_claims = models.Claim.select().where(
            models.Claim.owner.in_(keys), models.Claim.state.not_in(["closed", "void"])
        )
        owed = open_claims.count()
        if owed and not although_owed:
            raise refuse(
                f"{counted(owed, 'claim is', 'claims are')} still owed to {person.name}.",
                "Settle them first, or erase although they are owed.",
            )
        names = _names(keys)
        texts = personal.texts_about(a.desk.database, keys) | personal.texts_naming(a.desk.database, names)
        erased = personal.erase_texts(a.desk.database, texts)
        for setting in personal.settings_naming(a.desk.database, names):
            models.Setting.delete().where(models.Setting.name == setting).execute()
        for one in keys:
            personal.erase_person(a.desk.database, one, a.day.isoformat())
            a.line("participant", one, "erased")
        a.people |= set(keys)
        texts_said = counted(erased, "text")
        return f"Everything that says who it was is erased, with {texts_said}; what is left is “{_left(person_id)}”."

    result = act(desk, "erase", work, key)
    if isinstance(result, Done) and result.number is not None and not forget_free_space(desk.database):
        warning = "Another program holds the desk, so its free space may still show traces: close it, then tidy."
        return Done(result.said, result.claims, result.number, (*result.warnings, warning), result.key)
    return result


def _left(person_id: int) -> str:
    return str(models.Participant.get_by_id(person_id).name)


def _names(keys: list[int]) -> list[str]:
    """Everything by which they can be named in a text."""
    found = []
    for row in models.Participant.select().where(models.Participant.id.in_(keys)):
        found += [row.name, row.handle, row.on_air_name]
    for contact in models.Contact.select().where(models.Contact.participant.in_(keys)):
        found += [contact.email, contact.phone]
    for address in models.Address.select().where(models.Address.participant.in_(keys)):
        found.append(address.text)
    return [name for name in found if name]


def tidy(desk: Desk) -> Result:
    """Rewrites the desk's file so that nothing erased can be read from its free space."""
    if forget_free_space(desk.database):
        return Done("The file is rewritten; nothing that was erased is left in it.")
    return Problem("Another program holds the desk.", "Close it, then try again.")
