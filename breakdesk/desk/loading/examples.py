"""The first rows of a load as the claims that they make."""

from __future__ import annotations

from itertools import islice
from typing import Final

from breakdesk.desk.loading.plan import Plan
from breakdesk.desk.loading.report import Example
from breakdesk.rules.claim import Claim

SHOWN: Final = 5


def examples_of(plan: Plan) -> tuple[Example, ...]:
    """The first new claims, with the names of whom they concern."""
    return tuple(_example(plan, made.facts) for made in islice(plan.claims.values(), SHOWN))


def _example(plan: Plan, claim: Claim) -> Example:
    snapshot = plan.snapshot
    owner = snapshot.participants[claim.owner_id]["name"] if claim.owner_id is not None else ""
    if claim.owner_kind == "house":
        owner = plan.house().name
    maker = snapshot.makers[claim.maker_id]["name"] if claim.maker_id is not None else ""
    product = snapshot.products[claim.product_id]["name"] if claim.product_id is not None else ""
    return Example(claim=claim, owner=owner, maker=maker, product=product)
