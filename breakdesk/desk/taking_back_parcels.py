"""Changes of a parcel that concern no claim, and taking them back: what is in it, who gets it, a report of its loss."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from typing import Any, Final

from breakdesk.desk.acting import Act
from breakdesk.desk.problems import refuse
from breakdesk.store import history, models

REPORT: Final = "report loss"
CHANGES: Final = ("parcel contents", "parcel recipient", REPORT)
"""What the actions are called in the history."""
REPORTED: Final = "loss reported"


def change_parcel(a: Act, row: models.Parcel, kind: str, changes: Mapping[str, Any]) -> None:
    """Writes columns of a parcel. What stood there is kept as free text, since it can name people."""
    before = {name: getattr(row, name) for name in changes}
    models.Parcel.update(**changes).where(models.Parcel.id == row.id).execute()
    both = a.text(json.dumps([before, dict(changes)], ensure_ascii=False))
    a.line("parcel", int(row.id), kind, {"changed": sorted(changes), **both})


def report_parcel(a: Act, row: models.Parcel, note: str) -> None:
    """Writes the day on which the loss of a parcel was reported."""
    models.Parcel.update(loss_reported_on=a.day).where(models.Parcel.id == row.id).execute()
    a.line("parcel", int(row.id), REPORTED, a.text(note))


def take_back_parcel(a: Act, action: models.Action, root: models.Action, *, again: bool) -> None:
    """Takes such a change back, or makes it `again`, where the parcel still is as the action left it."""
    lines = models.HistoryLine
    line = lines.get(lines.action == root.key, lines.thing == "parcel")
    row = models.Parcel.get_by_id(line.thing_id)
    before, after = _sides(line)
    found, wanted = (before, after) if again else (after, before)
    if any(getattr(row, name) != value for name, value in found.items()):
        raise refuse(f"Parcel {row.id} was changed after that, or it is undone already.", "Look at it first.")
    if root.kind != REPORT and row.state != "packing":
        raise refuse(f"Parcel {row.id} is packed no more.", "Only a parcel that is being packed can change.")
    models.Parcel.update(**wanted).where(models.Parcel.id == row.id).execute()
    a.line("parcel", int(row.id), "undone", {"action": action.key})


def _sides(line: models.HistoryLine) -> tuple[dict[str, Any], dict[str, Any]]:
    """The columns before and after a change."""
    if line.kind == REPORTED:
        reported: date = line.day
        return {"loss_reported_on": None}, {"loss_reported_on": reported}
    text = history.text_of(json.loads(line.body).get("text"))
    if text is None:
        raise refuse("What stood there before was erased.", "Write it down anew.")
    before, after = json.loads(text)
    return before, after
