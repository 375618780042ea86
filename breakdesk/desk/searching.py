"""What a search finds: participants first, then claims, each with what tells them apart."""

from __future__ import annotations

from dataclasses import dataclass

from breakdesk.desk.desk import Desk
from breakdesk.desk.listing import card_words, rows_with_keys
from breakdesk.desk.viewing import search
from breakdesk.rules.wording import counted
from breakdesk.store import lists
from breakdesk.store.lists import ClaimRow

MOST_PEOPLE = 20
MOST_CLAIMS = 100


@dataclass(frozen=True, slots=True, kw_only=True)
class Hit:
    """A participant (then with `person_id`) or a claim (then with `tag`); the name is the person's or the owner's."""

    person_id: int | None = None
    tag: str = ""
    what: str = ""
    where: str = ""
    """A participant: how much is owed, in words; a claim: its state."""
    closed_how: str = ""
    product: str = ""
    owner_kind: str = "person"
    name: str = ""
    handle: str = ""
    on_air_name: str = ""


def look_for(desk: Desk, text: str) -> tuple[Hit, ...]:
    """Everything that has a word beginning with each word typed."""
    found = search(desk, text, MOST_CLAIMS)
    people = [
        Hit(person_id=key, name=name, handle=handle, on_air_name=on_air, where=_owed_words(open_claims))
        for key, name, handle, on_air, open_claims in lists.people_rows(desk.database, found.people[:MOST_PEOPLE])
    ]
    own = lists.claims_of_people(desk.database, found.people[:MOST_PEOPLE], MOST_CLAIMS) if len(people) == 1 else []
    claim_ids = tuple(dict.fromkeys([*found.claims, *own]))
    return (*people, *(_claim_hit(row) for row in rows_with_keys(desk, claim_ids)))


def _owed_words(count: int) -> str:
    if not count:
        return "nothing owed"
    return counted(count, "card owed", "cards owed")


def _claim_hit(row: ClaimRow) -> Hit:
    return Hit(
        tag=row.tag,
        what=card_words(row),
        where=row.state,
        closed_how=row.closed_how,
        product=row.product,
        owner_kind=row.owner_kind,
        name=row.owner_name,
        handle=row.owner_handle,
        on_air_name=row.owner_on_air,
    )
