"""Today in five sentences: how much is in each round, and what burns."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from breakdesk.desk.desk import Desk
from breakdesk.desk.viewing import TodayView, today
from breakdesk.rules.rounds import MakerToAsk, Parties, PersonToTell, ToDecide, ToSubmit, is_late_to_make_good
from breakdesk.rules.zones import in_zone

SOON = timedelta(days=3)
MAKERS_NAMED = 2

WHY_WORDS = {
    "refused": ("refused by the maker", "refused by makers"),
    "expired_at_pull": ("expired when it was pulled", "expired when pulled"),
    "offer": ("offer to answer", "offers to answer"),
    "owner": ("owner to be settled", "owners to be settled"),
    "failed_submission": ("failed submission", "failed submissions"),
    "lost": ("parcel lost or returned", "parcels lost or returned"),
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


def summary(desk: Desk) -> Summary:
    """Today's five sentences as of the desk's instant."""
    return summarise(today(desk))


def summarise(view: TodayView) -> Summary:
    """Five sentences from the five lists."""
    lists, parties, now = view.today, view.parties, view.today.as_of
    asked = sum(len(maker.claims) for maker in lists.ask)
    unconfirmed = sum(not person.address_confirmed for person in lists.ship)
    submit, tell, ship, decide = (len(items) for items in (lists.submit, lists.tell, lists.ship, lists.decide))
    shipping = _plural(ship, "participant with cards to ship", "participants with cards to ship")
    dangers = _submit_burns(lists.submit, parties, now)
    waiting = _decide_burns(lists.decide, parties, now)
    late_tellings = _tell_burns(lists.tell, parties.house.today(now))
    rounds = (
        ("submit", submit, _plural(submit, "claim to submit", "claims to submit"), dangers),
        ("ask", asked, _ask_text(asked, len(lists.ask)), _ask_burns(lists.ask, parties, now)),
        ("tell", tell, _plural(tell, "participant to tell", "participants to tell"), late_tellings),
        ("ship", ship, shipping, _ship_burns(unconfirmed)),
        ("decide", decide, _plural(decide, "decision for you", "decisions for you"), waiting),
    )
    return Summary(tuple(RoundSummary(*parts) for parts in rounds), view.on_hold)


def moment_words(instant: datetime, zone: str) -> str:
    """An instant in words, in a zone: the weekday where it matters."""
    local = in_zone(instant, zone)
    return f"{local:%a} {local.day} {local:%b} {local:%H:%M}"


def _plural(count: int, one: str, many: str) -> str:
    return one if count == 1 else many


def _submit_burns(items: Iterable[ToSubmit], parties: Parties, now: datetime) -> str:
    items = list(items)
    zone = parties.house.zone_at(now)
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
        said.append(f"the next by {moment_words(min(coming), zone)}")
    return _sentence(said)


def _ask_text(claims: int, makers: int) -> str:
    text = _plural(claims, "claim to ask about", "claims to ask about")
    return f"{text}, at {makers} {_plural(makers, 'maker', 'makers')}" if makers else text


def _ask_burns(makers: Iterable[MakerToAsk], parties: Parties, now: datetime) -> str:
    makers = list(makers)
    zone = parties.house.zone_at(now)
    open_now = [maker.maker.name or "a maker" for maker in makers if maker.open_now]
    if open_now:
        more = len(open_now) - MAKERS_NAMED
        names = ", ".join(open_now[:MAKERS_NAMED]) + (f" and {more} more" if more > 0 else "")
        return _sentence([f"open now: {names}"])
    opening = [maker.opens_at for maker in makers if maker.opens_at is not None]
    return _sentence([f"all closed, the first opens {moment_words(min(opening), zone)}"]) if opening else ""


def _tell_burns(people: Iterable[PersonToTell], today: date) -> str:
    late = sum(person.due_on < today for person in people)
    return _sentence([f"{late} should have heard before today"]) if late else ""


def _ship_burns(unconfirmed: int) -> str:
    return _sentence([f"{unconfirmed} with an address to be confirmed first"]) if unconfirmed else ""


def _decide_burns(items: Iterable[ToDecide], parties: Parties, now: datetime) -> str:
    items = list(items)
    today = parties.house.today(now)
    late = sum(1 for item in items if item.claim is not None and is_late_to_make_good(item.claim, parties.house, today))
    said = [f"{late} refused and late to be made good"] if late else []
    counted = Counter(item.why for item in items)
    if late:
        counted["refused"] -= late
    said += [f"{count} {_plural(count, *WHY_WORDS[why])}" for why, count in counted.most_common(3) if count > 0]
    return _sentence(said)


def _sentence(parts: list[str]) -> str:
    if not parts:
        return ""
    said = ", ".join(parts)
    return said[0].upper() + said[1:] + "."
