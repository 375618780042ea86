"""The tell round: one message a participant, and the record that it was told."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from breakdesk.desk.acting import Act, act
from breakdesk.desk.desk import Desk
from breakdesk.desk.later_news import later_news
from breakdesk.desk.others import said_of
from breakdesk.desk.outlook import MessageOutlook
from breakdesk.desk.problems import Result, refuse
from breakdesk.desk.telling_view import Known, view_of
from breakdesk.desk.viewing import product_names
from breakdesk.desk.ways import ways_to
from breakdesk.files.messages.channels import Message, channel_for, with_plain_characters
from breakdesk.files.messages.composing import tell_message
from breakdesk.files.messages.sources import Templates
from breakdesk.files.messages.views import TellingView
from breakdesk.rules.claim import Claim
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.items import ToTell
from breakdesk.rules.rounds.tell import what_to_tell
from breakdesk.rules.wording import counted
from breakdesk.store import models
from breakdesk.store.chain import head_of
from breakdesk.store.engine import lock_rows
from breakdesk.store.feed import told_after
from breakdesk.store.parties import read_house, read_makers, read_people
from breakdesk.store.projecting import claims_of_people, people_in

PEOPLE_AT_ONCE = 200


@dataclass(frozen=True, slots=True)
class Telling:
    """What one participant would be told now: the items, the message, and the claims that it covers.

    `number` is the latest action of the history that the message knows of.
    """

    person_id: int
    items: tuple[ToTell[Claim], ...]
    view: TellingView
    message: Message
    claim_ids: tuple[int, ...]
    number: int


def telling_for(
    desk: Desk,
    person_id: int,
    tone: str = "",
    channel: str = "",
    templates: Templates | None = None,
    *,
    plain: bool = False,
) -> Telling:
    """Everything a participant would be told now, due or not, in their channel's shape; nothing of what is on hold."""
    return next(tellings_for(desk, [person_id], tone, channel, templates, plain=plain))


def tellings_for(
    desk: Desk,
    person_ids: Sequence[int],
    tone: str = "",
    channel: str = "",
    templates: Templates | None = None,
    *,
    plain: bool = False,
) -> Iterator[Telling]:
    """The tellings of many participants in the order given, in constant memory.

    Without `channel` each is told by the way they prefer, or the one to fall back on. `templates` saves reading the
    wording anew; `plain` puts plain characters into short messages in place of those that make them longer.
    """
    templates = templates or house_templates(desk)
    makers = read_makers(desk.database)
    outlook = MessageOutlook(desk)
    for start in range(0, len(person_ids), PEOPLE_AT_ONCE):
        part = person_ids[start : start + PEOPLE_AT_ONCE]
        number, _ = head_of(desk.database)
        claims = [claim for claim in claims_of_people(desk.database, part) if not claim.on_hold]
        people = read_people(desk.database, people_in(claims) | set(part))
        parties = Parties(house=read_house(), makers=makers, people=people)
        today = parties.house.today(desk.clock.as_of())
        told: dict[int, list[ToTell[Claim]]] = {person_id: [] for person_id in part}
        for claim in claims:
            for whom, item in what_to_tell(claim, parties, today):
                if whom in told:
                    told[whom].append(item)
        every = [item for items in told.values() for item in items]
        known = Known(
            parties,
            today,
            product_names([item.claim for item in every]),
            {row.id: row for row in models.Participant.select().where(models.Participant.id.in_(part))},
            outlook.sentences([item.claim.id for item in every if item.news == "waiting"]),
        )
        ways = ways_to(desk, part, channel)
        limit = parties.house.terms.count_on("direct_limit", today)
        for person_id in part:
            items = tuple(told[person_id])
            row = known.rows[person_id]
            view = view_of(row, items, known)
            message = tell_message(view, tone or known.tone, channel_for(ways[person_id].channel, limit), templates)
            message = with_plain_characters(message) if plain else message
            covered = tuple(dict.fromkeys(item.claim.id for item in items))
            yield Telling(person_id, items, view, message, covered, number)


def house_templates(desk: Desk) -> Templates | None:
    """The house's own wording; None where it has none."""
    folder = desk.folder / "templates"
    return Templates(folder) if folder.is_dir() else None


def mark_told(
    desk: Desk,
    person_id: int,
    claim_ids: Iterable[int],
    channel: str,
    text: str,
    template: str = "",
    key: int | None = None,
    *,
    number: int | None = None,
) -> Result:
    """Records that a participant was told: all their untold news on these claims, and the silence starts anew.

    With `number`, the latest action that the message knows of, news that came later stays to be told.
    """

    def work(a: Act) -> str:
        person = models.Participant.get_or_none(models.Participant.id == person_id)
        if person is None:
            raise refuse("That participant is not in the desk any more.")
        wanted = list(dict.fromkeys(claim_ids))
        if not wanted:
            raise refuse(f"There is nothing to tell {person.name}.")
        if number is not None:
            refuse_if_told_since(a, person_id, number)
        record_telling(a, person_id, wanted, channel, text, template, number)
        return f"{person.name} is told about {counted(len(wanted), 'claim')}."

    return act(desk, "tell", work, key, beside=True)


def refuse_if_told_since(a: Act, person_id: int, number: int) -> None:
    """Refuses where another desk told a participant after their message was written: nobody is told twice."""
    lock_rows(a.desk.database, "participant", [person_id])
    told = told_after(a.desk.database, person_id, number)
    if told is not None:
        raise refuse(said_of(told, a.house), "Look at what is left to be told.")


def record_telling(
    a: Act,
    person_id: int,
    claim_ids: Sequence[int],
    channel: str,
    text: str,
    template: str = "",
    number: int | None = None,
) -> None:
    """Keeps one telling with its exact text, and lets the news of these claims be told as far as the text knows it."""
    claims = a.claims(list(dict.fromkeys(claim_ids)))
    row = models.Telling.create(
        participant=person_id,
        day=a.day,
        told_at=a.happened,
        channel=channel,
        template=template,
        text_id=a.text(text).get("text"),
        action_key=a.key,
    )
    late = set() if number is None else later_news(claims, person_id, number)
    for claim in claims:
        models.TellingClaim.create(telling=row.id, claim=claim.id)
        since = {"news_since": 1} if claim.id in late else {}
        a.add_in_order(claim, "told", {"person": person_id, "telling": int(row.id), **since})
    if late:
        tags = ", ".join(claim.tag for claim in claims if claim.id in late)
        a.warnings.append(f"News about {tags} came after this message was written: it is still to be told.")
    a.people.add(person_id)
