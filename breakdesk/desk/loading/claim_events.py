"""What a row of claims says happened, as the events of a history in order."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any

from breakdesk.files.row_kinds import ClaimRow
from breakdesk.rules.claim import Event
from breakdesk.rules.clocks import microseconds_of
from breakdesk.rules.ownership import Owner

RANKS = {
    kind: rank
    for rank, kind in enumerate(
        ("pulled", "owner", "corrected", "noted", "code_entered", "seen", "submitted", "asked", "refused", "in_hand",
         "shipped", "closed", "told")
    )
}  # fmt: skip
"""The order of events on one day."""


def in_order(events: Iterable[Event]) -> list[Event]:
    """Events as a history records them: by day, on one day by rank."""
    return sorted(events, key=lambda event: (event.day, RANKS[event.kind]))


def pulled_body(
    row: ClaimRow,
    tag: str,
    pull_day: date,
    owner: Owner,
    *,
    break_id: int | None,
    product_id: int | None,
    maker_id: int | None,
    account_id: int | None,
) -> dict[str, Any]:
    """The body of a claim's first event; what is not known is left out."""
    body: dict[str, Any] = {
        "tag": tag,
        "kind": row.kind,
        "plan": row.plan,
        "subject": row.subject,
        "pull_day": pull_day.isoformat(),
    }
    known = {
        "team": row.team,
        "variation": row.variation,
        "numbered_to": row.numbered_to,
        "serial": row.serial,
        "features": row.features,
        "expires_on": row.expires_on.isoformat() if row.expires_on else None,
        "break_id": break_id,
        "product_id": product_id,
        "maker_id": maker_id,
        "account_id": account_id,
        "seen_on_camera": row.seen_on_camera or None,
    }
    body |= owner.body() | {name: value for name, value in known.items() if value is not None and value != ""}
    if row.value is not None:
        body["value"], body["currency"] = row.value.minor, row.value.currency
    if row.pulled_at.instant is not None:
        body["pulled_at"] = microseconds_of(row.pulled_at.instant)
    return body


def closed_body(row: ClaimRow) -> dict[str, Any]:
    """How the claim ended, with its amount and whose fault it was."""
    body: dict[str, Any] = {"how": row.closed_how}
    if row.closed_amount is not None:
        body["amount"], body["currency"] = row.closed_amount.minor, row.closed_amount.currency
    if row.fault:
        body["fault"] = row.fault
    return body


def dated_events(row: ClaimRow, told: dict[str, Any]) -> list[Event]:
    """One event for each date of the row after the pull; `told` is the body of the telling."""
    events = []
    if row.submitted_on is not None:
        events.append(Event("submitted", row.submitted_on, {"reference": row.reference} if row.reference else {}))
    if row.last_asked_on is not None:
        events.append(Event("asked", row.last_asked_on, {}))
    if row.refused_on is not None:
        events.append(Event("refused", row.refused_on, {}))
    if row.in_hand_on is not None:
        events.append(Event("in_hand", row.in_hand_on, {}))
    if row.shipped_on is not None:
        events.append(Event("shipped", row.shipped_on, {"tracking": row.tracking} if row.tracking else {}))
    if row.closed_on is not None:
        events.append(Event("closed", row.closed_on, closed_body(row)))
    if row.last_told_on is not None:
        events.append(Event("told", row.last_told_on, told))
    return events
