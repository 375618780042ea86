"""What was promised to people for a day."""

from __future__ import annotations

from datetime import date

from breakdesk.rules.rounds.items import Promise
from breakdesk.store import models


def promises_due(day: date) -> list[Promise]:
    """What was promised for a day of the house or before it, and not kept by then."""
    table = models.FollowUp
    rows = table.select().where(table.done_on.is_null() | (table.done_on > day), table.due_on <= day)
    return [Promise(row.id, row.participant_id, row.due_on) for row in rows]
