"""Running a break: starting and ending it, its stream clock, and what lies in it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime
from typing import cast

from peewee import fn

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.ownership import break_facts, people_of
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.break_facts import Person
from breakdesk.rules.claim import Claim
from breakdesk.rules.wording import counted
from breakdesk.store import models
from breakdesk.store.claims import read_claims


@dataclass(frozen=True, slots=True)
class BreakLine:
    """A break in a list."""

    id: int
    name: str
    format: str
    night: date | None
    running: bool
    ended: bool
    claims: int


def list_breaks(limit: int = 200) -> list[BreakLine]:
    """Breaks, running ones first, then the latest."""
    table, claims = models.Break, models.Claim
    rows = list(table.select().order_by(table.running.desc(), table.night.desc(), table.id.desc()).limit(limit))
    counted = (
        claims.select(claims.break_, fn.COUNT(claims.id))
        .where(claims.break_.in_([row.id for row in rows] or [0]), claims.state != "void")
        .group_by(claims.break_)
        .tuples()
    )
    counts: dict[int, int] = dict(cast("Iterable[tuple[int, int]]", counted))
    return [
        BreakLine(
            row.id, row.name, row.format, row.night, bool(row.running), row.ended_at is not None, counts.get(row.id, 0)
        )
        for row in rows
    ]


@dataclass(frozen=True, slots=True)
class BreakState:
    """A break as it stands: its clock, its video, and how many claims it has."""

    id: int
    name: str
    format: str
    running: bool
    live_at: datetime | None
    ended_at: datetime | None
    first_pack_at: datetime | None
    video_link: str
    video_offset: int
    video_kept_until: date | None
    claims: int

    def stream_seconds(self, now: datetime) -> int | None:
        """Seconds since the video began; None where the break does not run."""
        if self.live_at is None or not self.running:
            return None
        return max(int((now - self.live_at).total_seconds()) + self.video_offset, 0)


def break_state(desk: Desk, break_id: int) -> BreakState | None:
    """How a break stands; None where there is no such break."""
    row = models.Break.get_or_none(models.Break.id == break_id)
    if row is None:
        return None
    claims = models.Claim
    return BreakState(
        id=row.id,
        name=row.name,
        format=row.format,
        running=bool(row.running),
        live_at=row.live_at,
        ended_at=row.ended_at,
        first_pack_at=row.first_pack_at,
        video_link=row.video_link,
        video_offset=int(row.video_offset),
        video_kept_until=row.video_kept_until,
        claims=claims.select().where(claims.break_ == break_id, claims.state != "void").count(),
    )


def start_break(desk: Desk, break_id: int, video_link: str = "", key: int | None = None) -> Result:
    """Starts a break: from now on its clock stamps each claim."""

    def work(a: Act) -> str:
        row = _break(break_id)
        changes: dict[str, object] = {"running": True, "ended_at": None}
        if row.live_at is None:
            changes["live_at"] = a.happened
        if row.starts_at is None:
            changes |= {"starts_at": a.happened, "night": a.day}
        if video_link.strip():
            changes["video_link"] = video_link.strip()
        models.Break.update(**changes).where(models.Break.id == break_id).execute()
        a.line("break", break_id, "started")
        return f"{row.name} is running."

    return act(desk, "start break", work, key)


def end_break(desk: Desk, break_id: int, on_pile: int | None = None, key: int | None = None) -> Result:
    """Ends a break; `on_pile` is how many claim cards lie on the pile."""

    def work(a: Act) -> str:
        row = _break(break_id)
        if not row.running:
            raise refuse(f"{row.name} is not running.")
        models.Break.update(running=False, ended_at=a.happened).where(models.Break.id == break_id).execute()
        known = len(claims_of_break(a.desk, break_id))
        body = {"claims": known} | ({} if on_pile is None else {"counted": on_pile})
        a.line("break", break_id, "ended", body)
        if on_pile is not None and on_pile != known:
            a.warnings.append(f"{known} on screen, {on_pile} on the pile: walk the pile in order to find the odd one.")
        return f"{row.name} has ended with {counted(known, 'claim')}."

    return act(desk, "end break", work, key)


def claims_of_break(desk: Desk, break_id: int) -> list[Claim]:
    """The claims of a break in the order in which they were pulled."""
    where = "claim.break_id = ? AND claim.state <> 'void'"
    claims = list(read_claims(desk.database, where, [break_id]))
    return sorted(claims, key=lambda claim: (claim.pulled_at or 0, claim.id))


@dataclass(frozen=True, slots=True)
class Caught:
    """A claim and who has it, for the lists beside the entry line."""

    claim: Claim
    people: tuple[Person, ...]
    """Its owner, or those between whom it is to be settled."""


LAST_KEYS = 2_000
"""How far back claims without a break are looked for."""


def caught(desk: Desk, break_id: int | None) -> list[Caught]:
    """The claims of a break, newest first; without a break those bought elsewhere lately."""
    if break_id is not None:
        claims = claims_of_break(desk, break_id)
    else:
        where = "claim.break_id IS NULL AND claim.state <> 'void' AND claim.id > (SELECT max(id) - ? FROM claim)"
        claims = list(read_claims(desk.database, where, [LAST_KEYS]))
    wanted = {key for claim in claims for key in (*claim.candidates, claim.owner_id) if key is not None}
    people = {person.id: person for person in people_of(wanted)} if wanted else {}
    return [
        Caught(claim, tuple(people[key] for key in (claim.owner_id, *claim.candidates) if key in people))
        for claim in reversed(claims)
    ]


@dataclass(frozen=True, slots=True)
class SpotLine:
    """A spot on the board: what it holds, who has it, and how many claims it hit."""

    holds: str
    people: tuple[Person, ...]
    """None for an unsold spot."""
    hits: int

    @property
    def owners(self) -> tuple[str, ...]:
        """On-air names of those who have it."""
        return tuple(person.on_air_name or person.handle or person.name for person in self.people)


def spot_board(desk: Desk, break_id: int) -> list[SpotLine]:
    """Who owns what in a break, and what they have hit."""
    facts = break_facts(break_id)
    everybody = {owner for spot in facts.spots for owner in spot.owners}
    people = {person.id: person for person in people_of(everybody)}
    hits: dict[int, int] = {}
    for claim in claims_of_break(desk, break_id):
        if claim.first_owner_id is not None:
            hits[claim.first_owner_id] = hits.get(claim.first_owner_id, 0) + 1
    return [
        SpotLine(
            " & ".join(spot.holds),
            tuple(people[owner] for owner in spot.owners if owner in people),
            sum(hits.get(owner, 0) for owner in spot.owners),
        )
        for spot in facts.spots
    ]


def _break(break_id: int) -> models.Break:
    row = models.Break.get_or_none(models.Break.id == break_id)
    if row is None:
        raise refuse("That break is not in the desk.", "Load its spots first.")
    return row
