"""Making a new claim inside an action: its key, its tag and its first event."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import Any

from breakdesk.desk.acting import Act
from breakdesk.rules.claim import Claim
from breakdesk.rules.tags import TAG_COUNT, make_tag
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag
from breakdesk.store.engine import next_id

COPIED_TO_A_PART = (
    "kind", "plan", "subject", "team", "variation", "numbered_to", "features", "break_id", "product_id", "maker_id",
    "account_id", "box", "pulled_at", "owner_kind", "owner_id",
)  # fmt: skip


def create_claim(a: Act, body: Mapping[str, Any], day: date | None = None) -> tuple[int, str]:
    """A new claim with its pull as first event; returns its key and its tag, a new one where the body has none."""
    claim_id = max(next_id(models.Claim), max(a.created, default=0) + 1)
    tag = body.get("tag") or free_tag(claim_id)
    a.created.add(claim_id)
    a.add(claim_id, "pulled", {**body, "tag": tag, "pull_day": (day or a.day).isoformat()}, day)
    return claim_id, tag


def free_tag(start: int) -> str:
    """A tag that no claim has."""
    number = start
    while claim_with_tag(make_tag(number % TAG_COUNT)) is not None:
        number += 1
    return make_tag(number % TAG_COUNT)


def pulled_body(claim: Claim) -> dict[str, Any]:
    """What a claim's pull said, for a part that goes on as a claim of its own."""
    body = {name: getattr(claim, name) for name in COPIED_TO_A_PART}
    body["candidates"] = list(claim.candidates)
    if claim.expires_on is not None:
        body["expires_on"] = claim.expires_on.isoformat()
    return {name: value for name, value in body.items() if value not in (None, "", [])}
