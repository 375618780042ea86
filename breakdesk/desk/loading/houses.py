"""Loads the house: its name and its terms."""

from __future__ import annotations

from collections.abc import Sequence

from breakdesk.desk.loading.merging import merged
from breakdesk.desk.loading.plan import Plan
from breakdesk.desk.loading.reading import Sheet
from breakdesk.desk.loading.report import Counts

TERMS = (
    "zone", "currency", "country", "submit_within_days", "tell_urgent_within_days", "tell_routine_within_days",
    "update_every_days",
)  # fmt: skip


def plan_house(plan: Plan, sheets: Sequence[Sheet], counts: Counts) -> None:
    """Takes the house's row; an empty cell keeps what holds."""
    pairs = [(sheet.file, sheet.rows) for sheet in sheets]
    for item in merged(plan, pairs, ("house", *TERMS), lambda row, place: "house", "house"):
        digest = plan.digest("house", *(item.values.get(column) for column in ("house", *TERMS)))
        if plan.is_same_row("house", digest):
            counts.known += 1
            continue
        recorded = {name: value for name, value, _ in plan.snapshot.house_terms}
        changed = []
        if item.values["house"] != plan.snapshot.house_name:
            plan.house_name = item.values["house"]
            changed.append("house")
        for name in TERMS:
            value = item.values.get(name)
            if value is not None and recorded.get(name) != str(value):
                plan.settle(None, name, str(value), first=name not in recorded)
                changed.append(name)
        if not changed:
            counts.known += 1
            continue
        plan.line("house", 0, columns=changed)
        if plan.snapshot.house_name is None:
            counts.new += 1
        else:
            counts.changed += 1
