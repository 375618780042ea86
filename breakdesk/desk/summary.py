"""Today in five sentences: how much is in each round, and what burns."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from breakdesk.desk.counting import Figures, figures, figures_of
from breakdesk.desk.desk import Desk
from breakdesk.rules.parties import Maker
from breakdesk.rules.wording import days_left
from breakdesk.rules.zones import in_zone, last_day_before

if TYPE_CHECKING:
    from breakdesk.desk.viewing import TodayView

SOON = timedelta(days=3)
MAKERS_NAMED = 6
DAYS_OF_A_WEEK = 7

WHY_WORDS = {
    "refused": ("refused by the maker", "refused by makers"),
    "expired_at_pull": ("expired when it was pulled", "expired when pulled"),
    "offer": ("offer to answer", "offers to answer"),
    "owner": ("owner to be settled", "owners to be settled"),
    "failed_submission": ("failed submission", "failed submissions"),
    "lost": ("parcel in trouble", "parcels in trouble"),
    "not_answering": ("participant not answering", "participants not answering"),
    "follow_up": ("follow-up", "follow-ups"),
}


@dataclass(frozen=True, slots=True)
class RoundSummary:
    """One round: how many items, what they are, and what cannot wait (empty where nothing burns)."""

    name: str
    count: int
    text: str
    burning: str


@dataclass(frozen=True, slots=True)
class Summary:
    """The five rounds in their order, and what is in none of them."""

    rounds: tuple[RoundSummary, ...]
    on_hold: int
    notices: int
    """Claims of which a notice of delay is due."""


def summary(desk: Desk) -> Summary:
    """Today's five sentences as of the desk's instant."""
    return sentences(figures(desk))


def summarise(view: TodayView) -> Summary:
    """Five sentences from the five lists."""
    return sentences(figures_of(view))


def sentences(found: Figures) -> Summary:
    """Five sentences from the figures of the five rounds."""
    submit, asked, tell, ship = len(found.submit), sum(count for _, count in found.ask), found.tell, found.ship
    decide = sum(found.decide.values())
    shipping = _plural(ship, "participant with cards to ship", "participants with cards to ship")
    rounds = (
        ("submit", submit, _plural(submit, "claim to submit", "claims to submit"), _submit_burns(found)),
        ("ask", asked, _ask_text(asked, len(found.ask)), _ask_burns(found)),
        ("tell", tell, _plural(tell, "participant to tell", "participants to tell"), _tell_burns(found.late_tellings)),
        ("ship", ship, shipping, _ship_burns(found)),
        ("decide", decide, _plural(decide, "decision for you", "decisions for you"), _decide_burns(found)),
    )
    return Summary(tuple(RoundSummary(*parts) for parts in rounds), found.on_hold, found.notices)


def moment_words(instant: datetime, zone: str) -> str:
    """An instant in words, in a zone: the weekday where it matters."""
    local = in_zone(instant, zone)
    return f"{local:%a} {local.day} {local:%b} {local:%H:%M}"


def limit_words(end: datetime, zone: str) -> str:
    """A limit in words: the end of its last day where it falls on midnight."""
    last = last_day_before(end, zone)
    return moment_words(end, zone) if last is None else f"the end of {last:%a} {last.day} {last:%b}"


def _plural(count: int, one: str, many: str) -> str:
    return one if count == 1 else many


def _submit_burns(found: Figures) -> str:
    items, now = found.submit, found.now
    zone = found.house.zone_at(now)
    seen = sum(item.claim.seen_on_camera for item in items)
    expired = sum(item.expired for item in items)
    late = sum(1 for item in items if item.submit_by is not None and item.submit_by <= now and not item.expired)
    coming = [item.submit_by for item in items if item.submit_by is not None and now < item.submit_by <= now + SOON]
    said = []
    if seen:
        said.append(f"{seen} with the code seen on camera")
    if expired:
        said.append(f"{expired} expired meanwhile")
    if late:
        said.append(f"{late} later than your own term")
    if coming:
        said.append(f"the next by {limit_words(min(coming), zone)}")
    return _sentence(said)


def _ask_text(claims: int, makers: int) -> str:
    text = _plural(claims, "claim to ask about", "claims to ask about")
    return f"{text}, at {makers} {_plural(makers, 'maker', 'makers')}" if makers else text


def _ask_burns(found: Figures) -> str:
    """Each maker with how many may be asked about and when it can be; open ones first, then the soonest to open."""
    now = found.now
    offices = sorted(
        ((maker.is_open(now), maker, count) for maker, count in found.ask),
        key=lambda office: now if office[0] else office[1].opening_after(now),
    )
    said = [
        f"{maker.name or 'no maker'} {count:,} ({'open now' if is_open else f'opens {_opening(maker, found)}'})"
        for is_open, maker, count in offices
    ]
    more = len(said) - MAKERS_NAMED
    named = said[:MAKERS_NAMED] + ([f"{more} more"] if more > 0 else [])
    if not all(is_open for is_open, _, _ in offices[:MAKERS_NAMED]):
        named.append("in your time")
    ready = [maker.name or "a maker" for maker in found.held if maker.is_open(now)]
    waiting = [maker for maker in found.held if not maker.is_open(now)]
    sentences = [_sentence(named)] if named else []
    if ready:
        sentences.append(f"A held message can go now: {', '.join(ready)}.")
    if waiting:
        first = min(waiting, key=lambda maker: maker.opening_after(now))
        makers = f"{len(waiting)} {_plural(len(waiting), 'maker', 'makers')}"
        sentences.append(f"Messages to {makers} are held, the first until {_opening(first, found)}.")
    return " ".join(sentences)


def _opening(maker: Maker, found: Figures) -> str:
    """When a maker's office opens, in the house's own time; the weekday alone says it within a week."""
    opens, zone = maker.opening_after(found.now), found.house.zone_at(found.now)
    local, today = in_zone(opens, zone), found.house.today(found.now)
    days = (local.date() - today).days
    if days >= DAYS_OF_A_WEEK:
        return moment_words(opens, zone)
    return f"{'today' if days == 0 else f'{local:%a}'} {local:%H:%M}"


def _tell_burns(late: int) -> str:
    return _sentence([f"{late} should have heard before today"]) if late else ""


def _ship_burns(found: Figures) -> str:
    said = [f"{found.unconfirmed} with an address to be confirmed first"] if found.unconfirmed else []
    count, fewest = found.giving
    if fewest is not None:
        cards = _plural(count, "claim card to give expires soon", "claim cards to give expire soon")
        said.append(f"{count} {cards}: {days_left(fewest)}")
    return _sentence(said)


def _decide_burns(found: Figures) -> str:
    late = found.late_refusals
    said = [f"{late} refused and late to be made good"] if late else []
    counted = found.decide.copy()
    if late:
        counted["refused"] -= late
    # Of equally many the reason that stands first in the list of reasons is named first, whatever was counted first.
    often = sorted(WHY_WORDS, key=lambda why: -counted[why])[:3]
    said += [f"{counted[why]} {_plural(counted[why], *WHY_WORDS[why])}" for why in often if counted[why] > 0]
    return _sentence(said)


def _sentence(parts: list[str]) -> str:
    if not parts:
        return ""
    said = ", ".join(parts)
    return said[0].upper() + said[1:] + "."
