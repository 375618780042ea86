"""An envelope from a maker: each card recognised, all of them counted in together, and whom to write at the end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from breakdesk.desk.acting import Act, act
from breakdesk.desk.arriving import InHand, take_in
from breakdesk.desk.creating import create_claim
from breakdesk.desk.describing import what_of
from breakdesk.desk.desk import Desk
from breakdesk.desk.photos import add_photos
from breakdesk.desk.problems import Done, Result, refuse
from breakdesk.desk.recognising import Counter, Match, Recognised, recognise
from breakdesk.rules.arrival_matching import WAITING, is_unnamed
from breakdesk.rules.claim import Claim
from breakdesk.rules.wording import counted
from breakdesk.store import models
from breakdesk.store.claims import claims_with_keys, read_claims
from breakdesk.store.parties import read_parties
from breakdesk.store.projecting import people_in


@dataclass(frozen=True, slots=True, kw_only=True)
class CardLine:
    """What a person says of one card in the envelope. `damaged` says how it came damaged.

    `came_as` is what stands on a card that nobody could name before it came.
    """

    line: str
    serial: int | None = None
    condition: str = ""
    as_promised: bool = True
    still_owed: str = ""
    damaged: str = ""
    came_as: str = ""
    photos: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class CardRead:
    """A card of the envelope as it was recognised; `chosen` is the claim it will be counted to, None where asked."""

    card: CardLine
    recognised: Recognised
    chosen: Match | None

    @property
    def serial(self) -> int | None:
        """The serial that was typed or that stands in the line."""
        return self.card.serial if self.card.serial is not None else self.recognised.seen.serial


@dataclass(frozen=True, slots=True)
class Envelope:
    """Everything in an envelope. `expected` are claims that the maker said were in it and that did not come."""

    cards: tuple[CardRead, ...]
    expected: tuple[Claim, ...]

    @property
    def doubtful(self) -> tuple[CardRead, ...]:
        """The cards of which nobody can say which claim they belong to."""
        return tuple(card for card in self.cards if card.chosen is None)


def read_envelope(desk: Desk, counter: Counter, cards: Sequence[CardLine], tracking: str = "") -> Envelope:
    """Recognises every card; two equal cards are counted to two claims, the one that waited longest first."""
    taken: set[int] = set()
    read = []
    for card in cards:
        recognised = recognise(desk, counter, card.line)
        free = replace(recognised, matches=tuple(m for m in recognised.matches if m.claim.id not in taken))
        chosen = free.sure
        if chosen is not None:
            taken.add(chosen.claim.id)
        read.append(CardRead(card, free, chosen))
    return Envelope(tuple(read), _expected(desk, tracking, taken))


def _expected(desk: Desk, tracking: str, taken: set[int]) -> tuple[Claim, ...]:
    number = "".join(tracking.split()).lower()
    if not number:
        return ()
    where = "replace(lower(claim.inbound_tracking), ' ', '') = ?"
    claims = read_claims(desk.database, where, [number])
    return tuple(claim for claim in claims if claim.state in WAITING and claim.id not in taken)


def book_envelope(desk: Desk, envelope: Envelope, by_hand: int | None = None, key: int | None = None) -> Result:
    """Counts the cards of an envelope in, all in one action; those in doubt are left out.

    `by_hand` is how many cards a person counted: another number than that of the lines is refused.
    """
    sure = [(card, card.chosen) for card in envelope.cards if card.chosen is not None]
    copies: list[Path] = []

    def work(a: Act) -> str:
        if by_hand is not None and by_hand != len(envelope.cards):
            raise refuse(
                f"{by_hand} cards were counted, but {len(envelope.cards)} are named.", "Find the one that is left over."
            )
        if not sure:
            raise refuse("No card of this envelope could be told.", "Name each by its tag or its reference.")
        for card, match in sure:
            _take(a, card, match.claim, copies)
        return f"{counted(len(sure), 'card')} counted in."

    result = act(desk, "arrived", work, key)
    if not isinstance(result, Done):
        for copy in copies:
            copy.unlink(missing_ok=True)
    return result


def _take(a: Act, read: CardRead, claim: Claim, copies: list[Path]) -> None:
    card = read.card
    request = InHand(
        tag=claim.tag,
        serial=read.serial,
        condition=card.condition,
        as_promised=card.as_promised,
        still_owed=card.still_owed,
        damaged=card.damaged,
        came_as=card.came_as or _beside_the_tag(read, claim),
    )
    said = take_in(a, request)
    if said != f"{claim.tag} is in hand.":
        a.warnings.append(said)
    if card.photos:
        add_photos(a, claim.id, card.photos, "condition", copies)


def _beside_the_tag(read: CardRead, claim: Claim) -> str:
    """What stands behind a tag or a reference, where the claim names no player."""
    _, _, rest = read.card.line.strip().partition(" ")
    return rest if is_unnamed(claim) and read.recognised.exact else ""


def keep_stranger(desk: Desk, what: str, note: str = "", key: int | None = None) -> Result:
    """A card that fits no claim is kept as the house's, and comes back among the decisions today."""

    def work(a: Act) -> str:
        subject = " ".join(what.split())
        if not subject:
            raise refuse("Say what stands on the card.")
        claim_id, tag = create_claim(a, {"subject": subject[:200], "owner_kind": "house", "quiet": 1})
        a.add(claim_id, "in_hand", a.text(note or "It came and fits no claim."))
        a.add(claim_id, "follow_up", {"on": a.day.isoformat(), **a.text("It fits no claim: find out whose it is.")})
        return f"{tag}: {subject[:200]} is kept as the house's until you find out whose it is."

    return act(desk, "card without a claim", work, key)


@dataclass(frozen=True, slots=True, kw_only=True)
class ToWrite:
    """A participant to write to after an envelope, what came for them, and what they have to be asked."""

    person_id: int
    name: str
    handle: str
    on_air_name: str
    cards: tuple[str, ...]
    ask_address: bool
    tell_by: date | None


def whom_to_write(desk: Desk, claim_ids: Sequence[int]) -> tuple[ToWrite, ...]:
    """The participants for whom some claims have news, by name."""
    claims = claims_with_keys(desk.database, sorted(claim_ids))
    parties = read_parties(desk.database, people_in(claims))
    today = parties.house.today(desk.clock.as_of())
    found: dict[int, list[str]] = {}
    for claim in claims:
        for news in claim.news:
            found.setdefault(news.person_id, []).append(f"{claim.tag} {what_of(claim)}")
    table = models.Participant
    due = {row.id: row.tell_due_on for row in table.select().where(table.id.in_(sorted(found) or [0]))}
    rows = []
    for person_id, cards in found.items():
        person = parties.people[person_id]
        has_card = any(claim.state == "in_hand" and claim.owner_id == person_id for claim in claims)
        rows.append(
            ToWrite(
                person_id=person_id,
                name=person.name,
                handle=person.handle,
                on_air_name=person.on_air_name,
                cards=tuple(cards),
                ask_address=has_card and not person.address_is_confirmed(parties.house, today),
                tell_by=due.get(person_id),
            )
        )
    return tuple(sorted(rows, key=lambda row: (row.name.casefold(), row.person_id)))
