"""Which item of a round somebody at another desk has open now: a mark that tells others, binds nobody and fades."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from datetime import datetime, timedelta

from breakdesk.desk.desk import Desk
from breakdesk.rules.clocks import instant_of, microseconds_of
from breakdesk.rules.zones import in_zone
from breakdesk.store import models
from breakdesk.store.parties import read_house

FADES_AFTER = timedelta(seconds=90)
"""A mark that nobody renewed for so long says nothing any more: its desk was left, or its line is down."""
_NAME = "open at a desk: "


@dataclass(frozen=True, slots=True)
class Mark:
    """What a desk has open: the round, the item's key, who sits there and since when."""

    round: str
    item: str
    who: str
    machine: str
    since: datetime
    renewed: datetime


def put_mark(desk: Desk, round_name: str, item: str) -> str:
    """Says that this desk has an item open, or still has; returns a sentence about others who have it open, too."""
    now = desk.clock.now()
    marks = _marks()
    own = marks.pop(_own_name(desk), None)
    since = own.since if own is not None and (own.round, own.item) == (round_name, item) else now
    said = {
        "round": round_name,
        "item": item,
        "who": desk.who,
        "machine": desk.machine,
        "since": microseconds_of(since),
        "renewed": microseconds_of(now),
    }
    table = models.Setting
    with desk.database.atomic():
        value = json.dumps(said)
        kept = table.insert(name=_own_name(desk), value=value)
        kept.on_conflict(conflict_target=[table.name], update={table.value: value}).execute()
        faded = [name for name, mark in marks.items() if now - mark.renewed > FADES_AFTER]
        if faded:
            table.delete().where(table.name.in_(faded)).execute()
    others = [mark for name, mark in marks.items() if name not in faded]
    return " ".join(_said(mark) for mark in others if (mark.round, mark.item) == (round_name, item))


def take_mark_away(desk: Desk) -> None:
    """This desk has no item open any more."""
    table = models.Setting
    with desk.database.atomic():
        table.delete().where(table.name == _own_name(desk)).execute()


def _own_name(desk: Desk) -> str:
    return f"{_NAME}{desk.machine} {os.getpid()} {desk.who}"


def _marks() -> dict[str, Mark]:
    found = {}
    for row in models.Setting.select().where(models.Setting.name.startswith(_NAME)):
        said = json.loads(row.value)
        found[str(row.name)] = Mark(
            said["round"],
            said["item"],
            said["who"],
            said["machine"],
            instant_of(said["since"]),
            instant_of(said["renewed"]),
        )
    return found


def _said(mark: Mark) -> str:
    since = in_zone(mark.since, read_house().zone_at(mark.since))
    where = f" at {mark.machine}" if mark.machine else ""
    return f"{mark.who or 'Somebody'}{where} has this open since {since:%H:%M}."
