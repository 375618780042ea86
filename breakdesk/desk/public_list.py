"""The public list: one post with what became of everybody's cards, which may count as having told routine news."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from breakdesk.desk.acting import Act, act
from breakdesk.desk.bulk import Wanted, choose, keys_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Result, refuse
from breakdesk.desk.telling import house_templates, record_telling, tellings_for
from breakdesk.files.messages.channels import PUBLIC, Message, channel_for
from breakdesk.files.messages.composing import public_post, public_view
from breakdesk.files.messages.sources import Templates
from breakdesk.files.messages.views import NewsGroup, PublicLine, PublicView
from breakdesk.rules.claim import News
from breakdesk.rules.wording import counted
from breakdesk.store.claims import claims_with_keys
from breakdesk.store.parties import read_house

SAID_IN_PUBLIC = ("pulled", "submitted")
"""Routine news that a public list says in full; all other news is somebody's own business and is told to them."""


@dataclass(frozen=True, slots=True)
class OnTheList:
    """A participant on the list, and the claims whose news it says in full."""

    person_id: int
    claim_ids: tuple[int, ...]
    lines: tuple[PublicLine, ...]


@dataclass(frozen=True, slots=True)
class PublicList:
    """The post, and who is on it."""

    message: Message
    people: tuple[OnTheList, ...]


def public_list(desk: Desk, templates: Templates | None = None) -> PublicList:
    """The list as of now: all untold news that may be said in public, without a name, an address or an amount."""
    house = read_house()
    today = house.today(desk.clock.as_of())
    people = tuple(_people(desk))
    view = PublicView(house_name=house.name, lines=tuple(line for one in people for line in one.lines), on=today)
    channel = channel_for(PUBLIC, house.terms.count_on("direct_limit", today))
    message = public_post(view, house.terms.on("tone", today), channel, templates or house_templates(desk))
    return PublicList(message, people)


def _people(desk: Desk) -> Iterator[OnTheList]:
    keys = keys_of(choose(desk, Wanted(news="any")))
    for telling in tellings_for(desk, keys, channel=PUBLIC):
        said = [item for item in telling.items if _is_said(item.claim.news, telling.person_id)]
        tags = {item.claim.tag for item in said if item.news in SAID_IN_PUBLIC}
        if not tags:
            continue
        groups = (
            NewsGroup(word=group.word, claims=tuple(line for line in group.claims if line.tag in tags))
            for group in telling.view.news
            if group.word in SAID_IN_PUBLIC
        )
        public = public_view(replace(telling.view, news=tuple(groups), waiting=()))
        claim_ids = tuple(dict.fromkeys(item.claim.id for item in said if item.claim.tag in tags))
        yield OnTheList(telling.person_id, claim_ids, public.lines)


def _is_said(news: tuple[News, ...], person_id: int) -> bool:
    """Whether all that is untold of a claim to a participant may be said in public: nothing urgent is folded in."""
    own = [item for item in news if item.person_id == person_id]
    return bool(own) and all(item.word in SAID_IN_PUBLIC and not item.urgent_days for item in own)


def posted(desk: Desk, shown: PublicList, key: int | None = None) -> Result:
    """The list was posted: where the house lets it count, everybody on it is told what it says of their cards."""

    def work(a: Act) -> str:
        if a.house.terms.on("public_list_tells", a.day) != "on":
            raise refuse(
                "A public list does not count as telling here.", "Settle the term public_list_tells, if it should."
            )
        if not shown.people:
            raise refuse("Nobody is on the list.")
        told = 0
        for one in shown.people:
            claims = claims_with_keys(a.desk.database, one.claim_ids)
            still = [claim.id for claim in claims if _is_said(claim.news, one.person_id)]
            if still:
                words = "\n".join(f"{line.handle}: {line.what}" for line in one.lines)
                record_telling(a, one.person_id, still, PUBLIC, words, shown.message.templates)
                told += 1
        if not told:
            raise refuse("Everybody on the list was told already.")
        return f"{counted(told, 'participant is', 'participants are')} told by the public list."

    return act(desk, "tell", work, key)
