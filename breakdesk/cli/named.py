"""Finds what a person typed on the command line; where it is not there the command ends with a sentence."""

from __future__ import annotations

from breakdesk.cli.common import fail
from breakdesk.desk import finding
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Refusal
from breakdesk.rules.claim import Claim
from breakdesk.store import models, words
from breakdesk.store.claims import claim_with_tag, claims_with_keys
from breakdesk.store.lists import people_rows

MOST_NAMED = 5


def person_id(desk: Desk, name: str, *, beginning_is_enough: bool = False) -> int:
    """The key of the participant with this name, handle or on-air name.

    `beginning_is_enough` takes the only participant whose words begin like that; use it for reading only. Otherwise
    the sentence names who may be meant.
    """
    try:
        return int(finding.person_named(name).id)
    except Refusal as refusal:
        alike = words.find(desk.database, name, "participant", MOST_NAMED)
        if beginning_is_enough and len(alike) == 1:
            return alike[0]
        if not alike:
            fail(refusal.problem.sentence)
        meant = ", ".join(person_name(desk, key) for key in alike)
        fail(f"{refusal.problem.what} Did you mean: {meant}?")


def break_id(name: str) -> int | None:
    """The key of the break with this name, or of the only one whose words begin like that; None for `-`, no break."""
    if name == "-":
        return None
    try:
        return int(finding.break_named(name).id)
    except Refusal as refusal:
        return _only_one_like(models.Break, name, refusal)


def maker_id(name: str) -> int:
    """The key of the maker with this name, or of the only one whose words begin like that."""
    try:
        return int(finding.maker_named(name).id)
    except Refusal as refusal:
        return _only_one_like(models.Maker, name, refusal)


def _only_one_like(table: type[models.Break | models.Maker], name: str, refusal: Refusal) -> int:
    alike = finding.beginning_like(table, name)
    if not alike:
        fail(refusal.problem.sentence)
    if len(alike) > 1:
        meant = ", ".join(row.name for row in alike[:MOST_NAMED]) + (", …" if len(alike) > MOST_NAMED else "")
        fail(f"{refusal.problem.what} Did you mean: {meant}?")
    return int(alike[0].id)


def claim_of(desk: Desk, tag: str) -> Claim:
    """The claim with this tag as it is now."""
    claim_id = claim_with_tag(tag)
    if claim_id is None:
        fail(f"There is no claim {tag}. `breakdesk search` finds it by a name or a reference.")
    return claims_with_keys(desk.database, [claim_id])[0]


def person_name(desk: Desk, key: int | None) -> str:
    """A participant's name; empty for nobody."""
    if key is None:
        return ""
    return "".join(row[1] for row in people_rows(desk.database, [key]))


def product_id(name: str) -> int:
    """The key of the product with this name."""
    try:
        return int(finding.product_named(name).id)
    except Refusal as refusal:
        fail(refusal.problem.sentence)
