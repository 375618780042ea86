"""Undo and redo, as entries that take an earlier action back; the history itself is never changed."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from peewee import fn

from breakdesk.desk.acting import Act, act
from breakdesk.desk.action_words import action_words
from breakdesk.desk.desk import Desk
from breakdesk.desk.makers import MARK, take_back_mark
from breakdesk.desk.problems import Result, refuse
from breakdesk.desk.side_rows import bring_in_line
from breakdesk.desk.taking_back_lines import DRAWN, take_back_line
from breakdesk.desk.taking_back_parcels import CHANGES, take_back_parcel
from breakdesk.rules.story import active, standing
from breakdesk.store import history, models

THINGS_THAT_UNDO = frozenset({"claim", "parked claim", "parked participant", "parked action"})
KINDS_THAT_STAND = frozenset({"load", "tag lease", "enter code"})
"""A code that another one replaced is gone, so that entering it again is the only way back."""


@dataclass(frozen=True, slots=True)
class Undoable:
    """An action that could be taken back, or, where it took one back, done again."""

    key: int
    number: int
    kind: str
    what: str
    """What was done, for people, or what was taken back or done again."""
    takes_back: bool
    """Whether it took that back."""
    names: str
    """What it was about: the claims' tags."""

    @property
    def words(self) -> str:
        """What was done, for people."""
        if self.takes_back:
            return f"undo of: {self.what}"
        return f"{self.what}, done again" if self.kind == "undo" else self.what


def last_actions(limit: int = 20) -> list[Undoable]:
    """The latest actions that could be taken back, newest first."""
    table, lines = models.Action, models.HistoryLine
    of_action = lines.select(lines.id).where(lines.action == table.key)
    on_a_maker = (lines.thing == "maker") & table.kind.in_([MARK, "undo"])
    on_a_parcel = (lines.thing == "parcel") & table.kind.in_([*CHANGES, "undo"])
    on_the_house = (lines.thing == "house") & table.kind.in_([DRAWN, "undo"])
    rows = (
        table.select()
        .where(
            table.kind.not_in(sorted(KINDS_THAT_STAND)),
            fn.EXISTS(of_action),
            ~fn.EXISTS(
                of_action.where(
                    lines.thing.not_in(sorted(THINGS_THAT_UNDO)) & ~on_a_maker & ~on_a_parcel & ~on_the_house
                )
            ),
        )
        .order_by(table.number.desc())
        .limit(limit)
    )
    return [_undoable(row) for row in rows]


def _undoable(action: models.Action) -> Undoable:
    what = action_words(_root_of(action).kind)
    return Undoable(action.key, action.number, action.kind, what, _stands_after(action), _names(action.key))


def latest_that_counts(actions: Sequence[Undoable]) -> int | None:
    """The key of the latest of these actions that was not taken back; None where there is none."""
    return next((action.key for action in not_taken_back(actions) if action.kind != "undo"), None)


def not_taken_back(actions: Sequence[Undoable]) -> list[Undoable]:
    """Those of these actions that no later one took back."""
    lines = models.HistoryLine
    keys = [action.key for action in actions]
    rows = lines.select(lines.body).where(
        lines.action.in_(keys or [0]), lines.kind == "undone", lines.thing.in_(["claim", "house", "parcel"])
    )
    taken_back = {json.loads(row.body)["action"] for row in rows}
    return [action for action in actions if action.key not in taken_back]


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
    parcel = lines.get_or_none(lines.action == key, lines.thing == "parcel")
    if not tags and parcel is not None:
        return f"(parcel {parcel.thing_id})"
    return ", ".join(tags[:3]) + (" …" if len(tags) > 3 else "")


def undo(desk: Desk, action_key: int, key: int | None = None) -> Result:
    """Takes an action back where nothing later stands on it. Undoing an undo does the action again."""

    def work(a: Act) -> str:
        action = models.Action.get_or_none(models.Action.key == action_key)
        if action is None or action.kind in KINDS_THAT_STAND:
            raise refuse("That cannot be undone.", "Correct it by hand instead.")
        lines = list(models.HistoryLine.select().where(models.HistoryLine.action == action_key))
        root = _root_of(action)
        maker_ids = {line.thing_id for line in lines if line.thing == "maker"} if root.kind == MARK else set()
        is_line, is_parcel = root.kind == DRAWN, root.kind in CHANGES
        of_claims = [
            line
            for line in lines
            if not (line.thing == "maker" and line.thing_id in maker_ids)
            and not (line.thing == "house" and is_line)
            and not (line.thing == "parcel" and is_parcel)
        ]
        if any(line.thing not in THINGS_THAT_UNDO for line in of_claims):
            raise refuse(f"“{action_words(root.kind)}” cannot be undone.", "Change it back by hand instead.")
        claim_ids = sorted({line.thing_id for line in lines if line.thing == "claim"})
        for claim_id in claim_ids:
            _require_last(claim_id, action)
            a.add(claim_id, "undone", {"action": action_key})
        if claim_ids:
            bring_in_line(a, claim_ids)
        for maker_id in maker_ids:
            take_back_mark(a, action, root, maker_id)
        if is_line:
            take_back_line(a, action, root)
        elif is_parcel:
            take_back_parcel(a, action, root, again=_stands_after(action))
        elif not claim_ids and not maker_ids:
            _unpark(a, action, root)
        word = "Done again" if _stands_after(action) else "Undone"
        return f"{word}: {action_words(root.kind)} {_names(action_key)}".rstrip() + "."

    return act(desk, "undo", work, key)


def _require_last(claim_id: int, action: models.Action) -> None:
    events = history.claim_events([claim_id])[claim_id]
    counting = standing(events) if action.kind == "undo" else active(events)
    if counting and counting[-1].action == action.key:
        return
    tag = models.Claim.get_by_id(claim_id).tag
    if any(event.action == action.key for event in counting):
        raise refuse(f"Something happened to claim {tag} after that.", "Undo the later step first.")
    raise refuse("That is undone already.", "Undo the undoing to have it again.")


def _root_of(action: models.Action) -> models.Action:
    """The action that a chain of undos is about."""
    while action.kind == "undo":
        line = models.HistoryLine.get(models.HistoryLine.action == action.key)
        action = models.Action.get_by_id(json.loads(line.body)["action"])
    return action


def _stands_after(action: models.Action) -> bool:
    """Whether the root of a chain of undos stands once the last of the chain is taken back."""
    stands = False
    while action.kind == "undo":
        line = models.HistoryLine.get(models.HistoryLine.action == action.key)
        action = models.Action.get_by_id(json.loads(line.body)["action"])
        stands = not stands
    return stands


def _unpark(a: Act, action: models.Action, root: models.Action) -> None:
    """Items put aside have no events: the row says whether the putting aside stands."""
    table = models.Park
    stands = _stands_after(action)
    changed = table.update(undone=not stands).where(table.action_key == root.key, table.undone == stands).execute()
    if not changed:
        raise refuse("That is undone already." if not stands else "That is done again already.")
    a.line("parked action", action.number, "undone", {"action": action.key})
