"""Entry on air goes on while the line to the server is down: kept here, delivered once and in order when it is back."""

from __future__ import annotations

import json
from dataclasses import dataclass, fields, replace
from datetime import date
from typing import Any

from breakdesk.desk.desk import Desk
from breakdesk.desk.entering import Pull, pull
from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.rules.clocks import instant_of, microseconds_of
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.rules.money import Money
from breakdesk.rules.ownership import Owner
from breakdesk.rules.wording import counted
from breakdesk.store import history, local_queue
from breakdesk.store.engine import ENGINE_ERRORS, line_is_down

_LEFT_OUT = ("why", "doubts", "owner")
"""What a reading says for the person at the line only; the owner is worked out anew from the break."""


@dataclass(frozen=True, slots=True)
class Delivered:
    """What came of what had waited: how much was saved, how much waits still, and a sentence for what was refused."""

    saved: int = 0
    left: int = 0
    refused: tuple[str, ...] = ()


def pull_or_keep(desk: Desk, request: Pull) -> Result:
    """Writes a claim down or, where the line is down, keeps it on this machine until it is back.

    What was kept before is delivered first, so that everything comes in the order in which it was entered.
    """
    request = replace(request, pulled_at=request.pulled_at or desk.clock.as_of())
    key = history.new_key()
    if deliver(desk).left == 0:
        result = pull(desk, request, key)
        if not isinstance(result, Problem) or not line_is_down(desk.database):
            return result
    if request.code:
        return Problem("The line is down, and a code is not kept on this machine.", "Enter the claim without its code.")
    try:
        local_queue.add(desk.path, key, _written(request))
        count = len(local_queue.waiting(desk.path))
    except (OSError, *ENGINE_ERRORS) as error:
        return Problem(f"The line is down, and nothing can be kept here: {error}.", "Write it on paper.")
    return Done(
        f"The line is down: kept here, {counted(count, 'entry', 'entries')} waiting. The tag comes with the line."
    )


def waiting_count(desk: Desk) -> int:
    """How many entries wait on this machine for the line, those refused left out."""
    return sum(not item.refused for item in local_queue.waiting(desk.path))


def deliver(desk: Desk) -> Delivered:
    """Sends what waits, in order, until the line fails again; what the desk refuses is kept with the reason."""
    saved = 0
    refused: list[str] = []
    open_items = [item for item in local_queue.waiting(desk.path) if not item.refused]
    for place, item in enumerate(open_items):
        result = pull(desk, _read(item.body), item.key)
        if isinstance(result, Done):
            local_queue.strike(desk.path, item.key)
            saved += 1
        elif line_is_down(desk.database):
            return Delivered(saved, len(open_items) - place, tuple(refused))
        else:
            local_queue.note_refusal(desk.path, item.key, result.sentence)
            refused.append(result.sentence)
    return Delivered(saved, 0, tuple(refused))


def _written(request: Pull) -> str:
    reading = request.reading
    said = {
        field.name: _plain(getattr(reading, field.name).value)
        for field in fields(Reading)
        if field.name not in _LEFT_OUT
    }
    owner = None if request.owner is None else [request.owner.kind, list(request.owner.ids), request.owner.house_too]
    pulled_at = None if request.pulled_at is None else microseconds_of(request.pulled_at)
    body = {"break": request.break_id, "reading": said, "owner": owner, "seen": request.seen_on_camera, "at": pulled_at}
    return json.dumps(body, ensure_ascii=True)


def _read(body: str) -> Pull:
    said = json.loads(body)
    parts: dict[str, Any] = {name: Field(_meant(value)) for name, value in said["reading"].items()}
    reading = Reading(**parts)
    owner = None if said["owner"] is None else Owner(said["owner"][0], tuple(said["owner"][1]), said["owner"][2])
    pulled_at = None if said["at"] is None else instant_of(said["at"])
    return Pull(break_id=said["break"], reading=reading, owner=owner, seen_on_camera=said["seen"], pulled_at=pulled_at)


def _plain(value: Any) -> Any:
    if isinstance(value, date):
        return {"day": value.isoformat()}
    if isinstance(value, Money):
        return {"minor": value.minor, "currency": value.currency}
    return list(value) if isinstance(value, tuple) else value


def _meant(value: Any) -> Any:
    if isinstance(value, dict):
        return date.fromisoformat(value["day"]) if "day" in value else Money(value["minor"], value["currency"])
    return tuple(value) if isinstance(value, list) else value
