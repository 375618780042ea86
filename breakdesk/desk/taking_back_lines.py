"""Taking a start line back: the side of an undo that concerns the house's term and not a claim."""

from __future__ import annotations

import json
from datetime import date
from typing import Final

from breakdesk.desk.acting import Act
from breakdesk.desk.problems import refuse
from breakdesk.rules.claim import Event
from breakdesk.rules.start_line import TERM
from breakdesk.rules.story import active, standing
from breakdesk.store import models, terms
from breakdesk.store.projecting import refresh_due_days

DRAWN: Final = "draw start line"
"""What the action is called in the history."""
SETTLED, UNDONE = "settled", "undone"


def take_back_line(a: Act, action: models.Action, root: models.Action) -> None:
    """Takes a start line back, or draws it again where the action took it back; what was drawn before it holds then."""
    events = _events()
    counting = standing(events) if action.kind == "undo" else active(events)
    if not counting or counting[-1].action != action.key:
        raise refuse("The start line was changed after that, or it is undone already.", "Settings shows what holds.")
    drawn = next(event for event in events if event.action == root.key).body
    day = date.fromisoformat(drawn["from"])
    a.line("house", 0, UNDONE, {"action": action.key})
    left = active([*events, Event(UNDONE, a.day, {"action": action.key}, a.key)])
    if any(event.action == root.key for event in left):
        terms.keep_term(a.desk.database, None, TERM, drawn["value"], day, a.desk.clock.now())
    else:
        terms.drop_latest_term(TERM, day)
    refresh_due_days(a.desk.database)


def _events() -> list[Event]:
    """What was settled of the start line, and what took it back, in the order recorded."""
    lines = models.HistoryLine
    rows = lines.select().where((lines.thing == "house") & lines.kind.in_([SETTLED, UNDONE])).order_by(lines.id)
    events = [Event(row.kind, row.day, json.loads(row.body), row.action.key) for row in rows]
    return [event for event in events if event.kind == UNDONE or event.body["name"] == TERM]
