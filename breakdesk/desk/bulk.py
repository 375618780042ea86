"""Whom to write to in one go: chosen by news, maker, break, channel or silence, each with what stands against it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from breakdesk.desk.desk import Desk
from breakdesk.desk.ways import ways_to
from breakdesk.rules.rounds.tell import telling_days
from breakdesk.store import counting, models, past
from breakdesk.store.choosing import Conditions, people_to_hear
from breakdesk.store.parties import read_house, read_parties
from breakdesk.store.projecting import claims_of_people, people_in

PEOPLE_AT_ONCE = 400
OPTED_OUT, ON_HOLD, PARKED = "opted out of messages", "on hold", "put aside"
TOLD_TODAY, NOTHING_TO_SAY = "told today, nothing new", "nothing to say"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """Who is to be written to; empty parts do not narrow it.

    `news` is a word of news or `any`; `silent_days` means not told for so many days, or never; `due` that their next
    telling has come; `person_ids` names some by hand.
    """

    news: str = ""
    maker_id: int | None = None
    break_id: int | None = None
    channel: str = ""
    silent_days: int | None = None
    due: bool = False
    person_ids: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Recipient:
    """A participant who fits, and why they are left out all the same; empty where they are not."""

    person_id: int
    name: str
    handle: str
    on_air_name: str
    channel: str
    news: int
    waiting: int
    last_told_on: date | None
    due_on: date | None
    left_out: str
    quiet: str
    """That their quiet hours are now, in a few words; empty where they are not."""
    note: str
    """What to know of the way they are written to, such as that their address is missing."""


def choose(desk: Desk, wanted: Wanted, *, again: bool = False) -> tuple[Recipient, ...]:
    """Everybody who fits, by name. With `again` who was told today and has heard everything is not left out."""
    today = read_house().today(desk.clock.as_of())
    silent = None if wanted.silent_days is None else today - timedelta(days=wanted.silent_days - 1)
    found = people_to_hear(
        desk.database,
        Conditions(
            news=wanted.news,
            maker_id=wanted.maker_id,
            break_id=wanted.break_id,
            told_before=silent,
            due_by=today if wanted.due else None,
            person_ids=wanted.person_ids,
        ),
    )
    not_due = _not_due(desk, [row.person_id for row in found], today) if wanted.due else set()
    found = [row for row in found if row.person_id not in not_due]
    parked = {key for name, key in past.parked_as_of(desk.database, today) if name == "tell"}
    recipients = []
    for start in range(0, len(found), PEOPLE_AT_ONCE):
        part = found[start : start + PEOPLE_AT_ONCE]
        ways = ways_to(desk, [row.person_id for row in part])
        for row in part:
            way = ways[row.person_id]
            told_all = not row.news and row.last_told_on is not None and row.last_told_on >= today
            reminded = row.tell_due_on is not None and row.tell_due_on <= today
            against = (
                (OPTED_OUT, row.opted_out),
                (ON_HOLD, row.on_hold),
                (PARKED, row.person_id in parked),
                (NOTHING_TO_SAY, not (row.news or row.waiting or reminded)),
                (TOLD_TODAY, told_all and not again),
            )
            recipients.append(
                Recipient(
                    person_id=row.person_id,
                    name=row.name,
                    handle=row.handle,
                    on_air_name=row.on_air_name,
                    channel=way.channel,
                    news=row.news,
                    waiting=row.waiting,
                    last_told_on=row.last_told_on,
                    due_on=row.tell_due_on,
                    left_out=next((word for word, holds in against if holds), ""),
                    quiet=way.quiet_short,
                    note=way.note,
                )
            )
    return tuple(item for item in recipients if wanted.channel in ("", item.channel))


def _not_due(desk: Desk, person_ids: Sequence[int], today: date) -> set[int]:
    """Those who seem to be due only by a claim that is on hold, of which nothing goes out."""
    held = sorted(counting.people_with_held_claims(desk.database) & set(person_ids))
    if not held:
        return set()
    claims = [claim for claim in claims_of_people(desk.database, held) if not claim.on_hold]
    parties = read_parties(desk.database, people_in(claims) | set(held))
    days = telling_days(claims, parties)
    return {person_id for person_id in held if days.get(person_id, date.max) > today}


def keys_of(recipients: Sequence[Recipient]) -> tuple[int, ...]:
    """Those of them who can be written to."""
    return tuple(item.person_id for item in recipients if not item.left_out)


def makers_by_key(_desk: Desk) -> tuple[tuple[int, str], ...]:
    """All makers by name, with their keys."""
    return tuple(sorted(((int(row.id), row.name) for row in models.Maker.select()), key=lambda maker: maker[1]))
