"""Claims as the view of the present hands them to the lists: whole, but those that are with their makers in brief."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields
from typing import Any

from breakdesk.rules.claim import Claim, Waiting


def parted(claims: Iterable[Claim]) -> tuple[list[Claim], list[Waiting]]:
    """The claims that are not with their makers, and in brief those that are."""
    claims = list(claims)
    waiting = [claim for claim in claims if claim.state == "submitted"]
    return [claim for claim in claims if claim.state != "submitted"], [in_brief(claim) for claim in waiting]


def in_brief(claim: Claim) -> Waiting:
    """What the lists read of a claim."""
    values: dict[str, Any] = {field.name: getattr(claim, field.name) for field in fields(Waiting)}
    return Waiting(**values)
