"""What a participant was told so far, word for word, and telling it again on purpose."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Result, refuse
from breakdesk.rules.wording import weekday_in_words
from breakdesk.store import history, models
from breakdesk.store.lists import tags_of_tellings

MOST_SHOWN = 50


@dataclass(frozen=True, slots=True, kw_only=True)
class PastTelling:
    """One message that a participant was told. `text` is None where it was erased or never kept."""

    id: int
    day: date
    told_at: datetime | None
    channel: str
    template: str
    text: str | None
    tags: tuple[str, ...]
    undone: bool


def tellings_of(desk: Desk, person_id: int, limit: int = MOST_SHOWN) -> tuple[PastTelling, ...]:
    """The latest messages to a participant, newest first, those included that were undone."""
    table = models.Telling
    rows = list(
        table.select().where(table.participant == person_id).order_by(table.day.desc(), table.id.desc()).limit(limit)
    )
    tags = tags_of_tellings(desk.database, [int(row.id) for row in rows])
    return tuple(
        PastTelling(
            id=row.id,
            day=row.day,
            told_at=row.told_at,
            channel=row.channel,
            template=row.template,
            text=history.text_of(row.text_id),
            tags=tags.get(row.id, ()),
            undone=bool(row.undone),
        )
        for row in rows
    )


def tell_again(desk: Desk, telling_id: int, channel: str = "", key: int | None = None) -> Result:
    """A message was sent once more as it was, perhaps by another channel: one more telling with the same words.

    Refused where the message does not know of news that came since about its claims.
    """

    def work(a: Act) -> str:
        row = models.Telling.get_or_none(models.Telling.id == telling_id)
        text = None if row is None else history.text_of(row.text_id)
        if row is None or text is None:
            raise refuse("The words of that message are not kept.", "Write a new one.")
        links = models.TellingClaim
        claim_ids = [link.claim_id for link in links.select().where(links.telling == telling_id)]
        claims = a.claims(sorted(claim_ids))
        fresh = [claim.tag for claim in claims if any(news.person_id == row.participant_id for news in claim.news)]
        if fresh:
            raise refuse(
                f"There is news since about {', '.join(fresh)} that this message does not know of.",
                "Tell the new message instead.",
            )
        from breakdesk.desk.telling import record_telling

        record_telling(a, row.participant_id, sorted(claim_ids), channel or row.channel, text, row.template)
        name = models.Participant.get_by_id(row.participant_id).name
        return f"{name} was told again what they were told on {weekday_in_words(row.day)}."

    return act(desk, "tell", work, key)
