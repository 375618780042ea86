"""Rows that hang on events: tellings, asks, parcels and codes follow what still stands of them after an undo."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence

from breakdesk.desk.acting import Act
from breakdesk.desk.photo_proof import set_steps
from breakdesk.desk.problems import refuse
from breakdesk.rules.claim import Claim, Event
from breakdesk.rules.clocks import instant_of
from breakdesk.rules.story import active
from breakdesk.store import history, models
from breakdesk.store.sealing import NoKey


def bring_in_line(a: Act, claim_ids: Sequence[int]) -> None:
    """Brings everything that events of these claims name in line with the events that stand."""
    events = _with_new(a, claim_ids)
    everything = [event for found in events.values() for event in found]
    standing = [event for found in events.values() for event in active(found)]
    told = _named(standing, "telling")
    for telling_id in _named(everything, "telling"):
        _telling_follows(a, telling_id, stands=telling_id in told)
    for ask_id in _named(everything, "ask"):
        _ask_follows(a, ask_id)
    for parcel_id in _named(everything, "parcel"):
        _parcel_follows(a, parcel_id, claim_ids)
    _photo_steps_follow(a, claim_ids, standing)
    claims = a.claims(claim_ids)
    for claim in claims:
        _code_follows(a, claim)
    for break_id in {claim.break_id for claim in claims if claim.break_id is not None}:
        _first_pack_follows(break_id, claims)


def _with_new(a: Act, claim_ids: Sequence[int]) -> dict[int, list[Event]]:
    found = history.claim_events(claim_ids)
    return {claim_id: [*found[claim_id], *a.new_events.get(claim_id, [])] for claim_id in claim_ids}


def _named(events: Iterable[Event], thing: str) -> set[int]:
    return {event.body[thing] for event in events if event.body.get(thing) is not None}


def _telling_follows(a: Act, telling_id: int, *, stands: bool) -> None:
    table = models.Telling
    table.update(undone=not stands).where(table.id == telling_id).execute()
    a.people.add(table.get_by_id(telling_id).participant_id)


def _ask_follows(a: Act, ask_id: int) -> None:
    links = models.AskClaim
    claim_ids = [link.claim_id for link in links.select().where(links.ask == ask_id)]
    latest: dict[str, Event] = {}
    for found in _with_new(a, claim_ids).values():
        about = [event for event in active(found) if event.body.get("ask") == ask_id]
        if about:
            latest[about[-1].kind] = about[-1]
    asked = latest.get("asked")
    held = asked is None and "ask_held" in latest
    changes = {"asked_on": asked.day if asked else None, "held": held, "dropped": asked is None and not held}
    models.Ask.update(**changes).where(models.Ask.id == ask_id).execute()


def _parcel_follows(a: Act, parcel_id: int, claim_ids: Sequence[int]) -> None:
    steps = models.ParcelStep
    rows = steps.select(steps.claim_id).where(steps.parcel == parcel_id).distinct()
    everybody = sorted({row.claim_id for row in rows if row.claim_id is not None} | set(claim_ids))
    standing = [event for found in _with_new(a, everybody).values() for event in active(found)]
    about = sorted(
        (event for event in standing if event.body.get("parcel") == parcel_id),
        key=lambda event: _PARCEL_STAGES.index(event.kind),
    )
    columns = _parcel_columns(about, _bought_number(parcel_id))
    models.Parcel.update(**columns).where(models.Parcel.id == parcel_id).execute()


_PARCEL_STAGES = ("packed", "shipped", "lost", "closed")


def _bought_number(parcel_id: int) -> str:
    """The tracking number that came with the postage: it stays the parcel's, whatever is undone."""
    lines = models.HistoryLine
    bought = (lines.thing == "parcel") & (lines.thing_id == parcel_id) & (lines.kind == "postage bought")
    row = lines.select(lines.body).where(bought).order_by(lines.id.desc()).first()
    return "" if row is None else str(json.loads(row.body)["tracking"])


def _parcel_columns(about: Sequence[Event], bought_number: str) -> dict[str, object]:
    """A parcel's row as the events that name it say, the furthest last."""
    sent = next((event for event in about if event.kind == "shipped"), None)
    columns: dict[str, object] = {"state": "packing", "tracking": bought_number, "shipped_on": None, "ended_on": None}
    if not about:
        return columns | {"state": "dropped"}
    if sent is not None:
        columns |= {"state": "shipped", "tracking": sent.body.get("tracking", ""), "shipped_on": sent.day}
    last = about[-1]
    if last.kind == "lost":
        columns |= {"state": last.body["how"], "ended_on": last.day}
    if last.kind == "closed":
        columns |= {"state": "delivered", "ended_on": last.day}
    return columns


def _photo_steps_follow(a: Act, claim_ids: Sequence[int], standing: Sequence[Event]) -> None:
    """Steps that a photo ticked are open again without it, and ticked anew where it counts again."""
    earlier = [event for found in history.claim_events(claim_ids).values() for event in active(found)]
    before, now = (
        {
            event.body["photo"]: event.body["steps"]
            for event in events
            if event.kind == "photo" and "steps" in event.body
        }
        for events in (earlier, standing)
    )
    for photo in before.keys() ^ now.keys():
        set_steps(a, (before | now)[photo], done=photo in now)


def _first_pack_follows(break_id: int, claims: Sequence[Claim]) -> None:
    """A break whose only pulls were taken back has opened no pack: its spots may be traded still."""
    table = models.Claim
    changed = {claim.id for claim in claims}
    rows = table.select(table.id, table.pulled_at).where(table.break_ == break_id, table.state != "void")
    pulls = [row.pulled_at for row in rows if row.id not in changed]
    pulls += [claim.pulled_at for claim in claims if claim.break_id == break_id and claim.state != "void"]
    instants = [pulled_at for pulled_at in pulls if pulled_at is not None]
    row = models.Break.get_by_id(break_id)
    if not instants or row.first_pack_at is None:
        first = instant_of(min(instants)) if instants else None
        models.Break.update(first_pack_at=first).where(models.Break.id == break_id).execute()


def _code_follows(a: Act, claim: Claim) -> None:
    table, sealer = models.ClaimCode, a.desk.sealer
    row = table.get_or_none(table.claim == claim.id)
    if row is None:
        return
    digest, folded_digest = None, None
    if claim.state != "void":
        if row.digest is not None:
            return
        try:
            digest, folded_digest = sealer.code_digests(sealer.open(bytes(row.sealed), f"claim {claim.id}"))
        except NoKey:
            raise refuse("The desk's key file is missing or not readable.", "Put it back beside the desk.") from None
        other = table.get_or_none(table.digest == digest, table.claim != claim.id) if digest is not None else None
        if other is not None:
            raise refuse(f"The code of {claim.tag} is on claim {other.claim.tag} by now.", "Void that one first.")
    table.update(digest=digest, folded_digest=folded_digest).where(table.claim == claim.id).execute()
