"""The look: reading a maker's status page. Free at any time, recorded, and never an ask."""

from __future__ import annotations

from collections.abc import Sequence

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import maker_named
from breakdesk.desk.maker_page import ORDERS, waiting_claims
from breakdesk.desk.places import remember, remembered
from breakdesk.desk.problems import Problem, Result, refuse
from breakdesk.rules.names import folded
from breakdesk.rules.page_matching import PageReading, match_references
from breakdesk.rules.wording import counted
from breakdesk.store import models
from breakdesk.store.claims import tag_key

_ORDER_OF = "look order "


def match_page(desk: Desk, maker: str, pasted_text: str) -> PageReading | Problem:
    """What a pasted status page says of a maker's waiting claims, beside what the desk knows. Nothing is saved."""
    row = models.Maker.get_or_none(models.Maker.folded == folded(maker))
    if row is None:
        return Problem(f"No maker is called {maker}.", "Check the name; the ask round lists the makers.")
    try:
        reading = match_references(waiting_claims(desk, int(row.id)), pasted_text)
    except ValueError as error:
        return Problem(str(error))
    if not reading.matches:
        return Problem(f"None of the references of {row.name} stands in that text.", "Is it the right maker's page?")
    return reading


def look_order(desk: Desk, maker: str) -> str:
    """The order in which a maker's page lists its claims, as the house last set it."""
    kept = remembered(desk, _ORDER_OF + folded(maker))
    return kept if kept in ORDERS else ORDERS[0]


def turn_look_order(desk: Desk, maker: str) -> None:
    """Takes the next order for a maker's page and keeps it: by reference, date or name."""
    remember(desk, _ORDER_OF + folded(maker), ORDERS[(ORDERS.index(look_order(desk, maker)) + 1) % len(ORDERS)])


def look(desk: Desk, maker: str, unchanged: Sequence[str], moved: int = 0, key: int | None = None) -> Result:
    """Records that the maker's page was read and that these claims stood on it as before.

    The claims that moved are recorded one by one as answers or arrivals, before or after.
    """

    def work(a: Act) -> str:
        row = maker_named(maker)
        table = models.Claim
        wanted = {tag_key(tag) for tag in unchanged}
        claims = [
            claim
            for claim in table.select(table.id, table.tag).where(table.maker == row.id, table.state == "submitted")
            if tag_key(claim.tag) in wanted
        ]
        if not claims and not moved:
            raise refuse(f"No claim was read off {row.name}'s page.", "Say of at least one how it stands.")
        look_row = models.Look.create(
            maker=row.id, day=a.day, claims=len(claims) + moved, moved=moved, action_key=a.key
        )
        a.line("maker", int(row.id), "looked", {"look": int(look_row.id), "claims": len(claims), "moved": moved})
        claims_said = counted(len(claims), "claim")
        return f"Looked at {row.name}'s page: {claims_said} unchanged."

    return act(desk, "look", work, key)
