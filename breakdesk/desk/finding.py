"""Finds what a person named: a claim by its tag, a participant, a maker, a break."""

from __future__ import annotations

from collections.abc import Iterable

from breakdesk.desk.acting import Act
from breakdesk.desk.problems import refuse
from breakdesk.rules.claim import Claim, State
from breakdesk.rules.names import folded
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag

STATE_WORDS = {
    "pulled": "pulled and not yet submitted",
    "submitted": "submitted to the maker",
    "offered": "waiting for an answer to the maker's offer",
    "in_hand": "in hand",
    "shipped": "shipped",
    "closed": "closed",
    "refused": "refused by the maker",
    "void": "void",
}


def claim_named(act: Act, tag: str) -> Claim:
    """The claim with this tag; refuses where there is none."""
    claim_id = claim_with_tag(tag)
    if claim_id is None:
        raise refuse(f"There is no claim {tag}.", "Check the tag; `owed` and the search list them all.")
    return act.claim(claim_id)


def claims_named(act: Act, tags: Iterable[str]) -> list[Claim]:
    """The claims with these tags, each once however often and in whatever spelling it is named."""
    found: dict[int, Claim] = {}
    for tag in tags:
        claim = claim_named(act, tag)
        found.setdefault(claim.id, claim)
    return list(found.values())


def require_state(claim: Claim, doing: str, *states: State) -> None:
    """Refuses unless the claim is in one of the states in which it can be done."""
    if claim.state not in states:
        wanted = " or ".join(STATE_WORDS[state] for state in states)
        raise refuse(
            f"Claim {claim.tag} is {STATE_WORDS[claim.state]}, so it cannot be {doing}.",
            f"That takes a claim that is {wanted}.",
        )


def require_people(person_ids: Iterable[int]) -> None:
    """Refuses keys of participants who were merged into somebody or erased since they were shown."""
    wanted, table = set(person_ids), models.Participant
    if not wanted:
        return
    there = table.select().where(table.id.in_(wanted), table.merged_into.is_null(), table.erased_on.is_null()).count()
    if there != len(wanted):
        raise refuse("That participant was merged with another or erased.", "Look them up again.")


def person_named(name: str) -> models.Participant:
    """The participant with this name, handle or on-air name; refuses where there is none or more than one."""
    wanted = folded(name)
    table = models.Participant
    found = list(table.select().where(table.folded == wanted))
    if not found:
        found = [row for row in table.select().where(table.handle != "") if folded(row.handle) == wanted]
    if not found:
        found = [row for row in table.select().where(table.on_air_name != "") if folded(row.on_air_name) == wanted]
    if not found:
        raise refuse(f"No participant is called {name}.", "Type more of the name, or load the participant first.")
    # Who was merged into somebody is that one, by every name that either goes by.
    keys = {row.merged_into_id or row.id for row in found}
    if len(keys) > 1:
        raise refuse(f"{len(keys)} participants are called {name}.", "Use the full name.")
    row: models.Participant = table.get_by_id(keys.pop())
    return row


def maker_named(name: str) -> models.Maker:
    """The maker with this name; refuses where there is none."""
    row = models.Maker.get_or_none(models.Maker.folded == folded(name))
    if row is None:
        raise refuse(f"No maker is called {name}.", "Check the name; the ask round lists the makers.")
    return row


def beginning_like(table: type[models.Break | models.Maker], name: str) -> list[models.Break | models.Maker]:
    """The breaks or makers that have, for every word typed, a word beginning with it."""
    wanted = folded(name).split()
    rows = table.select().order_by(table.id) if wanted else ()
    return [row for row in rows if all(any(part.startswith(word) for part in row.folded.split()) for word in wanted)]


def break_named(name: str) -> models.Break:
    """The break with this name; refuses where there is none."""
    row = models.Break.get_or_none(models.Break.folded == folded(name))
    if row is None:
        raise refuse(f"No break is called {name}.", "Load its spots first, or check the name.")
    return row


def product_named(name: str) -> models.Product:
    """The product with this name; refuses where there is none."""
    row = models.Product.get_or_none(models.Product.folded == folded(name))
    if row is None:
        raise refuse(f"No product is called {name}.", "Load its checklist first, or check the name.")
    return row
