"""Proves that the desk is what its history says."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import fields

from breakdesk.desk.desk import Desk
from breakdesk.desk.photo_checking import photo_faults
from breakdesk.rules.claim import Claim
from breakdesk.rules.story import fold
from breakdesk.store import chain, history, models, projecting
from breakdesk.store.claims import read_claims
from breakdesk.store.engine import at_one_moment, damages_found


def verify(desk: Desk) -> Iterator[str]:
    """A sentence for all that does not hold: the chain, each claim against its history, the due days, the photos."""
    with desk.database.atomic():
        at_one_moment(desk.database)
        is_whole = True
        for sentence in chain.broken_links(desk.database):
            is_whole = False
            yield sentence
        try:
            yield from _against_the_history(desk)
        except (ValueError, KeyError, TypeError, AttributeError):
            # What was written into the history by hand may be anything; without that it is a mistake of ours.
            if is_whole:
                raise
            yield "The claims could not be compared with the history as it is now."
        yield from photo_faults(desk)
        yield from damages_found(desk.database)


def _against_the_history(desk: Desk) -> Iterator[str]:
    stored = {claim.id: claim for claim in read_claims(desk.database)}
    for claim_id, events in history.all_claim_events(desk.database):
        claim = stored.pop(claim_id, None)
        if claim is None:
            yield f"The history names a claim with key {claim_id} that is not in the desk."
            continue
        yield from _differences(claim, fold(claim_id, events))
    for claim in stored.values():
        yield f"Claim {claim.tag} is not in the history."
    yield from projecting.due_differences(desk.database)


def counted(desk: Desk) -> tuple[int, int]:
    """How many actions and claims there are to verify."""
    return models.Action.select().count(), models.Claim.select().count()


def _differences(stored: Claim, replayed: Claim | None) -> Iterator[str]:
    if replayed is None:
        yield f"Claim {stored.tag} has no pull in its history."
        return
    for field in fields(Claim):
        found, expected = getattr(stored, field.name), getattr(replayed, field.name)
        if field.name == "news":
            found, expected = sorted(found, key=str), sorted(expected, key=str)
        if found != expected:
            yield f"Claim {stored.tag}: {field.name} is {found} but its history says {expected}."
