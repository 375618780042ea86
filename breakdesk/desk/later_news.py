"""What a message does not know: news that came after it was written, which stays to be told although it went out."""

from __future__ import annotations

from collections.abc import Sequence

from breakdesk.rules.claim import Claim, News
from breakdesk.rules.story import fold
from breakdesk.store import history, models


def later_news(claims: Sequence[Claim], person_id: int, number: int) -> set[int]:
    """Keys of those claims of which a participant has news that came after the action `number` of the history."""
    with_news = {claim.id: claim for claim in claims if _news_of(claim, person_id)}
    events = history.claim_events(sorted(with_news))
    table = models.Action
    keys = sorted({event.action for of_claim in events.values() for event in of_claim})
    known = {row.key for row in table.select(table.key).where(table.key.in_(keys or [0]), table.number <= number)}
    late = set()
    for claim_id, claim in with_news.items():
        before = fold(claim_id, [event for event in events[claim_id] if event.action in known])
        if before is None or _news_of(before, person_id) != _news_of(claim, person_id):
            late.add(claim_id)
    return late


def _news_of(claim: Claim, person_id: int) -> News | None:
    return next((news for news in claim.news if news.person_id == person_id), None)
