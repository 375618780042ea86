"""The decide round: what waits for the house itself, why, and since when."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, datetime, timedelta

from breakdesk.rules import clocks
from breakdesk.rules.claim import Claim, Listed
from breakdesk.rules.names import name_order
from breakdesk.rules.parties import House, Maker, Parties
from breakdesk.rules.rounds.items import Parked, Promise, Review, ToDecide
from breakdesk.rules.rounds.submit import waits_for_choice


def to_decide(
    claims: Iterable[Listed],
    parties: Parties,
    now: datetime,
    parked: Parked,
    promises: Iterable[Promise] = (),
    reviews: Iterable[Review] = (),
) -> tuple[ToDecide, ...]:
    """What waits for the house itself, each with the day on which it began to wait."""
    today = parties.house.today(now)
    dates: dict[int | None, date] = {}
    replies = clocks.Replies(parties.house)
    items = []
    for claim in claims:
        if not claim.is_open or _simply_waits(claim) or parked.has("decide", claim.id):
            continue
        if claim.maker_id not in dates:
            dates[claim.maker_id] = parties.maker_of(claim).today(now)
        for why, since in reasons_to_decide(claim, parties, dates[claim.maker_id], today, replies):
            items.append(ToDecide(claim, parties.owner_name(claim), why, since))
    items += [
        ToDecide(None, parties.people[promise.person_id].name, "follow_up", promise.due_on, promise.id)
        for promise in promises
        if promise.due_on <= today and not parties.people[promise.person_id].on_hold
    ]
    items += [
        ToDecide(None, None, "follow_up", review.due_on, review=review) for review in reviews if review.due_on <= today
    ]
    orders = {name: name_order(name) for name in {item.participant for item in items}}
    items.sort(key=lambda item: (orders[item.participant], item.claim.tag if item.claim else "", item.why))
    return tuple(items)


def reasons_to_decide(
    claim: Listed, parties: Parties, maker_today: date, today: date, replies: clocks.Replies | None = None
) -> Iterable[tuple[str, date]]:
    """Why a claim waits for the house on a day, and since when; with the last of all days, why it ever will."""
    maker = parties.maker_of(claim)
    if isinstance(claim, Claim) and claim.state != "submitted":
        yield from _reasons_of_state(claim, maker, parties, today)
    if claim.owner_kind == "several" and claim.owner_since is not None:
        yield "owner", claim.owner_since
    days = []
    if claim.follow_up_on is not None and claim.follow_up_on <= today:
        days.append(claim.follow_up_on)
    silent = clocks.no_reply_from(claim, parties.house, maker, replies)
    if silent is not None and silent <= maker_today:
        days.append(silent)
    if days:
        yield "follow_up", min(days)


def _simply_waits(claim: Listed) -> bool:
    """Whether a claim is with its maker and nothing else is open about it, as most are: there is nothing to decide."""
    if claim.state != "submitted" or claim.follow_up_on is not None or claim.owner_kind == "several":
        return False
    return claim.last_asked_on is None or claim.answer is not None


def _reasons_of_state(claim: Claim, maker: Maker, parties: Parties, today: date) -> Iterable[tuple[str, date]]:
    """What only a claim can wait for that is not simply with its maker."""
    if claim.state == "refused" and claim.refused_on is not None:
        yield "refused", claim.refused_on
    if waits_for_choice(claim, maker):
        yield "expired_at_pull", claim.pull_day
    offer_from = _offer_from(claim, parties.house)
    if offer_from is not None and offer_from <= today:
        yield "offer", offer_from
    if claim.state == "pulled" and claim.failed_on is not None:
        yield "failed_submission", claim.failed_on
    if claim.state == "shipped" and claim.lost_on is not None:
        yield "lost", claim.lost_on
    unanswered = _unanswered_from(claim, parties)
    if unanswered is not None and unanswered <= today:
        yield "not_answering", unanswered


def decide_from(claim: Claim, parties: Parties) -> date | None:
    """The first day on which the claim waits for a decision if nothing else happens; None where it never will."""
    if not claim.is_open:
        return None
    return min((since for _, since in reasons_to_decide(claim, parties, date.max, date.max)), default=None)


def _offer_from(claim: Claim, house: House) -> date | None:
    if claim.state != "offered":
        return None
    if claim.offer_answered_on is not None:
        return claim.offer_answered_on
    last = clocks.reply_by(claim, house)
    if last is None or claim.offered_on is None:
        return None
    return max(last - timedelta(days=2), claim.offered_on)


def _unanswered_from(claim: Claim, parties: Parties) -> date | None:
    if claim.owner_id is None or claim.state not in clocks.STATES_WITH_REMINDERS:
        return None
    reminder = clocks.reminder(claim, parties.people[claim.owner_id], parties.house)
    return reminder.unanswered_from if reminder is not None else None


def is_late_to_make_good(claim: Claim, house: House, today: date) -> bool:
    """Whether a refusal has gone without being made good for longer than the house allows itself."""
    if claim.state != "refused" or claim.refused_on is None:
        return False
    return is_late_refusal(claim.refused_on, house, today)


def is_late_refusal(refused_on: date, house: House, today: date) -> bool:
    """Whether what was refused on a day, and is not made good yet, has gone without for too long."""
    return today > refused_on + timedelta(days=house.terms.count_on("make_good_within_days", refused_on))
