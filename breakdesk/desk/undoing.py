"""Undo and redo, as entries that take an earlier action back; the history itself is never changed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.story import active, standing
from breakdesk.store import history, models

THINGS_THAT_UNDO = frozenset({"claim", "parked claim", "parked participant"})
KINDS_THAT_STAND = frozenset({"load", "tag lease"})


@dataclass(frozen=True, slots=True)
class Undoable:
    """An action that could be taken back, or, where it took one back, done again."""

    key: int
    number: int
    kind: str
    names: str
    """What it was about: the claims' tags."""


def last_actions(limit: int = 20) -> list[Undoable]:
    """The latest actions on claims, newest first."""
    table = models.Action
    rows = table.select().where(table.kind.not_in(sorted(KINDS_THAT_STAND))).order_by(table.number.desc()).limit(limit)
    return [Undoable(row.key, row.number, row.kind, _names(row.key)) for row in rows]


def latest_that_counts(actions: Sequence[Undoable]) -> int | None:
    """The key of the latest of these actions that was not taken back; None where there is none."""
    lines = models.HistoryLine
    keys = [action.key for action in actions]
    rows = lines.select(lines.body).where(lines.action.in_(keys or [0]), lines.kind == "undone", lines.thing == "claim")
    taken_back = {json.loads(row.body)["action"] for row in rows}
    return next((a.key for a in actions if a.kind != "undo" and a.key not in taken_back), None)


def _names(key: int) -> str:
    lines, claims = models.HistoryLine, models.Claim
    rows = (
        claims.select(claims.tag)
        .join(lines, on=(lines.thing_id == claims.id))
        .where(lines.action == key, lines.thing == "claim")
        .distinct()
        .limit(4)
    )
    tags = [row.tag for row in rows]
    return ", ".join(tags[:3]) + (" …" if len(tags) > 3 else "")


def undo(desk: Desk, action_key: int, key: int | None = None) -> Result:
    """Takes an action back where nothing later stands on it. Undoing an undo does the action again."""

    def work(a: Act) -> str:
        action = models.Action.get_or_none(models.Action.key == action_key)
        if action is None or action.kind in KINDS_THAT_STAND:
            raise refuse("That cannot be undone.", "Correct it by hand instead.")
        lines = list(models.HistoryLine.select().where(models.HistoryLine.action == action_key))
        if any(line.thing not in THINGS_THAT_UNDO for line in lines):
            raise refuse(f"“{action.kind}” cannot be undone.", "Change it back by hand instead.")
        claim_ids = sorted({line.thing_id for line in lines if line.thing == "claim"})
        names = _names(action_key)
        for claim_id in claim_ids:
            _require_last(a, claim_id, action)
            a.add(claim_id, "undone", {"action": action_key})
        if not claim_ids:
            a.line("action", action.number, "undone")
        _take_back_side_rows(action_key, undone=action.kind != "undo")
        word = "Done again" if action.kind == "undo" else "Undone"
        return f"{word}: {action.kind} {names}".rstrip() + "."

    def refresh(a: Act) -> str:
        said = work(a)
        for telling in models.Telling.select().where(models.Telling.action_key == action_key):
            a.people.add(telling.participant_id)
        return said

    return act(desk, "undo", refresh, key)


def _require_last(a: Act, claim_id: int, action: models.Action) -> None:
    events = history.claim_events([claim_id])[claim_id]
    if not any(event.action == action.key for event in events):
        return
    counting = standing(events) if action.kind == "undo" else active(events)
    last = counting[-1] if counting else None
    if last is None or last.action != action.key:
        tag = models.Claim.get_by_id(claim_id).tag
        raise refuse(f"Something happened to claim {tag} after that.", "Undo the later step first.")


def _take_back_side_rows(action_key: int, *, undone: bool) -> None:
    for table in (models.Telling, models.Park):
        table.update(undone=undone).where(table.action_key == action_key).execute()
    models.Ask.update(dropped=undone).where(models.Ask.action_key == action_key).execute()
