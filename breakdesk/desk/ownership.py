"""Reads a break for the rules of ownership, and asks them whose a card is."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, cast

from breakdesk.rules.break_facts import BreakFacts, BreakFormat, Person
from breakdesk.rules.claim import Claim
from breakdesk.rules.clocks import EPOCH
from breakdesk.rules.ownership import Owner, Ownership, Pull, owner_of
from breakdesk.store import models
from breakdesk.store.spots import products_of_break, read_spots, split_words


def break_facts(break_id: int) -> BreakFacts:
    """A break with its spots and who bought them."""
    return facts_of(models.Break.get_by_id(break_id))


def facts_of(row: models.Break) -> BreakFacts:
    """A break that was read already, with its spots and who bought them."""
    database = cast("models.StrictSqlite", models.database_proxy)
    return BreakFacts(
        id=row.id,
        name=row.name,
        format=cast("BreakFormat", row.format),
        product_ids=products_of_break(database, row.id),
        spots=read_spots(database, row.id),
        starts_at=row.starts_at or EPOCH,
    )


def people_of(person_ids: set[int] | None = None) -> tuple[Person, ...]:
    """Participants by the names a line may use; all of them where no keys are given.

    Of all, those come first who were merged into somebody: their names stand for the one they were merged into, whose
    own names come later.
    """
    table = models.Participant
    columns = (table.id, table.name, table.handle, table.on_air_name, table.merged_into)
    query = table.select(*columns).where(table.erased_on.is_null())
    if person_ids is not None:
        query = table.select(*columns).where(table.merged_into.is_null(), table.id.in_(sorted(person_ids)))
    # Tuples: a model an object takes five times as long, and there are thousands.
    found = cast("Iterable[tuple[Any, ...]]", query.tuples())
    rows = sorted(found, key=lambda row: (row[-1] is None, row[0]))
    return tuple(
        Person(id=merged_into or key, name=name, handle=handle, on_air_name=on_air_name)
        for key, name, handle, on_air_name, merged_into in rows
    )


def owner_by_pull(claim: Claim) -> Owner | None:
    """Whom the spots of its break give a claim to, as they stand now; None where it has no break."""
    found = ownership_by_pull(claim)
    return None if found is None else found.owner


def ownership_by_pull(claim: Claim) -> Ownership | None:
    """The same with its reason and its doubts."""
    if claim.break_id is None:
        return None
    pull = Pull(
        product_id=claim.product_id,
        subjects=split_words(claim.subject),
        teams=split_words(claim.team),
        numbered_to=claim.numbered_to,
        serial=claim.serial,
        box=int(claim.box) if claim.box.isdigit() else None,
    )
    return owner_of(pull, break_facts(claim.break_id))


def owner_found(claim: Claim) -> Owner | None:
    """Whom the spots give a claim that nobody owns yet; None where its owner is fixed, or not known without doubt."""
    if claim.owner_kind != "nobody":
        return None
    found = ownership_by_pull(claim)
    return None if found is None or found.doubts or found.owner.kind == "nobody" else found.owner
