"""The look: reading a maker's status page. Free at any time, recorded, and never an ask."""

from __future__ import annotations

from collections.abc import Sequence

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import maker_named
from breakdesk.desk.problems import Result
from breakdesk.store import models
from breakdesk.store.claims import tag_key


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
        look_row = models.Look.create(
            maker=row.id, day=a.day, claims=len(claims) + moved, moved=moved, action_key=a.key
        )
        a.line("maker", int(row.id), "looked", {"look": int(look_row.id), "claims": len(claims), "moved": moved})
        counted = "1 claim" if len(claims) == 1 else f"{len(claims)} claims"
        return f"Looked at {row.name}'s page: {counted} unchanged."

    return act(desk, "look", work, key)
