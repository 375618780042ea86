"""The desk's coming days for a calendar program: deadlines, asks, tellings, and reviews of marked makers."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Problem
from breakdesk.files.calendar import DONE, Entry, calendar_bytes, write_calendar
from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim
from breakdesk.rules.parties import Parties
from breakdesk.rules.wording import counted
from breakdesk.rules.zones import in_zone
from breakdesk.store import maker_marks, models
from breakdesk.store.chain import head_of
from breakdesk.store.claims import read_claims
from breakdesk.store.engine import alone
from breakdesk.store.parties import read_parties
from breakdesk.store.past import parked_until

WRITTEN = "calendar"
"""The setting that remembers what the last calendar held, so that what is done by now can be taken out of programs."""
DEADLINE, ASK, TELL = "deadline", "ask", "tell"
MOST_TAGS = 40


@dataclass(frozen=True, slots=True)
class Calendar:
    """What was written: how many days to come, and how many entries of the last calendar are done."""

    entries: int
    done: int


def write_calendar_file(desk: Desk, path: Path) -> Calendar | Problem:
    """Writes deadlines, asks, tellings and reviews to a file; participants stand in it by handle or on-air name only.

    Writing again into any file names what is done by now as cancelled, so that a re-import clears it.
    """
    entries = list(entries_of(desk))
    with desk.database.atomic():
        alone(desk.database)
        gone = list(_gone(entries))
        if not entries and not gone:
            # RFC 5545, 3.6: a calendar without a component is none.
            return Problem("Nothing stands ahead that a calendar could hold.", "Write it once something does.")
        house = read_parties(desk.database, ()).house
        number, _ = head_of(desk.database)
        sequence = max(number, _remembered()[1] + 1)
        content = calendar_bytes(f"{house.name}: claim cards", [*entries, *gone], desk.clock.now(), sequence)
        try:
            write_calendar(path, content)
        except OSError as error:
            return Problem(f"{path} cannot be written: {error.strerror}.", "Name another place.")
        _remember(entries, sequence)
    return Calendar(len(entries), len(gone))


def _remembered() -> tuple[dict[str, str], int]:
    row = models.Setting.get_or_none(models.Setting.name == WRITTEN)
    if row is None:
        return {}, 0
    kept = json.loads(row.value)
    return dict(kept["days"]), int(kept["sequence"])


def _remember(entries: list[Entry], sequence: int) -> None:
    value = json.dumps({"days": {entry.uid: entry.day.isoformat() for entry in entries}, "sequence": sequence})
    table = models.Setting
    kept = table.insert(name=WRITTEN, value=value)
    kept.on_conflict(conflict_target=[table.name], update={table.value: value}).execute()


def _gone(entries: list[Entry]) -> Iterator[Entry]:
    still = {entry.uid for entry in entries}
    for uid, day in _remembered()[0].items():
        if uid not in still:
            yield Entry(uid=uid, day=date.fromisoformat(day), summary=DONE, cancelled=True)


def entries_of(desk: Desk) -> Iterator[Entry]:
    """Every deadline, ask, telling and review that the desk knows of, as of its instant, by day."""
    desk_id = models.DeskFact.get_by_id("desk_id").value
    parties = read_parties(desk.database)
    claims = [
        claim
        for claim in read_claims(desk.database, "claim.state NOT IN ('closed', 'void') AND claim.on_hold = 0")
        if claim.owner_id is None or not parties.people[claim.owner_id].on_hold
    ]
    found = [
        *_deadlines(claims, parties),
        *_asks(desk, claims, parties),
        *_tellings(desk, parties),
        *_promises(),
        *_reviews(desk),
    ]
    for entry in sorted(found, key=lambda item: (item.day, item.uid)):
        yield Entry(
            uid=f"{entry.uid}@{desk_id}.breakdesk",
            day=entry.day,
            summary=entry.summary,
            description=entry.description,
            category=entry.category,
        )


def _deadlines(claims: list[Claim], parties: Parties) -> Iterator[Entry]:
    for claim in claims:
        maker = parties.maker_of(claim)
        if claim.state == "pulled" and claim.plan == "submit":
            due = clocks.submit_by(claim, parties.house, maker)
            if due is not None:
                # The end of a day is the first instant of the next: the day meant is the one before.
                last = in_zone(due - timedelta(microseconds=1), parties.house.zone_at(due))
                yield Entry(
                    uid=f"submit-{claim.id}",
                    day=last.date(),
                    summary=f"Submit {claim.tag} to {maker.name or 'its maker'}",
                    description=f"{what_of(claim)}\nby {last:%H:%M} in {parties.house.zone_at(due)}",
                    category=DEADLINE,
                )
        reply_by = clocks.reply_by(claim, parties.house) if claim.state == "offered" else None
        if reply_by is not None:
            what = "Answer the maker's offer" if claim.offer_answered_on is None else "Pass the answer on to the maker"
            yield Entry(
                uid=f"offer-{claim.id}",
                day=reply_by,
                summary=f"{what}: {claim.tag}",
                description=what_of(claim),
                category=DEADLINE,
            )
        if claim.follow_up_on is not None:
            yield Entry(
                uid=f"promise-{claim.id}",
                day=claim.follow_up_on,
                summary=f"Promised: come back to {claim.tag}",
                description=what_of(claim),
                category=DEADLINE,
            )


def _asks(desk: Desk, claims: list[Claim], parties: Parties) -> Iterator[Entry]:
    """One entry for a maker and day, however many claims may be asked about from then on."""
    aside = parked_until(desk.database, "ask", parties.house.today(desk.clock.as_of()))
    days: dict[tuple[int, date], list[Claim]] = {}
    for claim in claims:
        start = clocks.ask_from(claim, parties.maker_of(claim), parties.house.start_line)
        if start is not None and not claim.ask_held:
            days.setdefault((claim.maker_id or 0, max(start, aside.get(claim.id, start))), []).append(claim)
    for (maker_id, day), some in days.items():
        name = parties.makers[maker_id].name if maker_id else None
        tags = sorted(claim.tag for claim in some)
        more = f" and {len(tags) - MOST_TAGS} more" if len(tags) > MOST_TAGS else ""
        yield Entry(
            uid=f"ask-{maker_id}-{day:%Y%m%d}",
            day=day,
            summary=f"Ask {name or 'the maker'} about {counted(len(some), 'claim')}",
            description=", ".join(tags[:MOST_TAGS]) + more,
            category=ASK,
        )


def _tellings(desk: Desk, parties: Parties) -> Iterator[Entry]:
    aside = parked_until(desk.database, "tell", parties.house.today(desk.clock.as_of()))
    table = models.Participant
    rows = table.select().where(
        table.tell_due_on.is_null(False), table.on_hold == False, table.opted_out == False  # noqa: E712
    )  # fmt: skip
    for row in rows:
        yield Entry(
            uid=f"tell-{row.id}",
            day=max(row.tell_due_on, aside.get(row.id, row.tell_due_on)),
            summary=f"Tell {_public_name(row)}",
            description="Their message stands in the tell round.",
            category=TELL,
        )


def _promises() -> Iterator[Entry]:
    """What was promised to people; its words stay in the desk."""
    table = models.FollowUp
    for row in table.select().where(table.done_on.is_null()):
        name = _public_name(models.Participant.get_by_id(row.participant_id))
        yield Entry(
            uid=f"promised-{row.id}",
            day=row.due_on,
            summary=f"Promised: come back to {name}",
            description="What was promised stands among the decisions.",
            category=DEADLINE,
        )


def _reviews(desk: Desk) -> Iterator[Entry]:
    """The days on which makers that were marked are looked at again."""
    for review in maker_marks.reviews(desk.database, date.max):
        yield Entry(
            uid=f"review-{review.maker_id}",
            day=review.due_on,
            summary=f"Look again at {review.maker}",
            description="What happened to it stands among the decisions.",
            category=DEADLINE,
        )


def _public_name(row: models.Participant) -> str:
    """A calendar is shared and shown on phones: never the full name."""
    names = (row.handle, row.on_air_name)
    return next((name for name in names if name and name.casefold() != row.name.casefold()), f"participant {row.id}")
