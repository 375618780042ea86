"""When something about a claim falls due.

Each rule takes the claim and its parties and gives a day or an instant in UTC; `now` is always an
argument. A period is measured by the terms in force on the day from which it counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from breakdesk.rules.claim import Claim, Listed, News
from breakdesk.rules.days import add_months
from breakdesk.rules.evidence import file_until
from breakdesk.rules.office import add_business_days
from breakdesk.rules.parties import House, Maker, Person
from breakdesk.rules.start_line import StartLine
from breakdesk.rules.terms import WEEKDAYS
from breakdesk.rules.zones import end_of_day

REMINDERS_AT_MOST = 3
STATES_WITH_REMINDERS = ("offered", "in_hand", "shipped")

EPOCH = datetime.fromisoformat("1970-01-01T00:00:00+00:00")


def instant_of(microseconds: int) -> datetime:
    """The instant in UTC of so many microseconds since 1970."""
    return EPOCH + timedelta(microseconds=microseconds)


def microseconds_of(instant: datetime) -> int:
    """Microseconds since 1970 of an instant with a zone."""
    return (instant - EPOCH) // timedelta(microseconds=1)


def pull_day(pulled_at: datetime | None, pulled_on: date | None, starts_at: datetime | None, house: House) -> date:
    """The day on which a card counts as pulled.

    The house's date of the break's start where the pull came at most 24 hours later, so that a night
    past midnight is one night; else the pull's own date. A bare date is its own day.
    """
    if pulled_at is None:
        if pulled_on is None:
            raise ValueError("a pull has a day or an instant")
        return pulled_on
    if starts_at is not None and timedelta(0) <= pulled_at - starts_at <= timedelta(hours=24):
        return house.today(starts_at)
    return house.today(pulled_at)


def expiry_end(claim: Claim, maker: Maker) -> datetime | None:
    """The instant from which the claim card is expired: the end of its last day in the maker's zone."""
    if claim.expires_on is None:
        return None
    return end_of_day(claim.expires_on, maker.zone_on(claim.pull_day))


def is_expired(claim: Claim, maker: Maker, now: datetime) -> bool:
    """Whether the claim card's last day has ended where the maker is."""
    end = expiry_end(claim, maker)
    return end is not None and now >= end


def days_to_expiry(claim: Claim, maker: Maker, now: datetime) -> int | None:
    """Days that are left of the claim card's time where the maker is: 0 on its last day, fewer than 0 after it.

    None where no day is known or it matters no more: once the card was sent in, or once the participant for whom a
    claim card was meant has it.
    """
    counts = claim.state == "pulled" or (claim.plan == "give" and claim.state == "shipped")
    return (claim.expires_on - maker.today(now)).days if counts and claim.expires_on is not None else None


def expired_at_pull(claim: Claim, maker: Maker) -> bool:
    """Whether the card's last day was over where the maker is when it came out of the pack."""
    if claim.expires_on is None:
        return False
    if claim.pulled_at is None:
        return claim.expires_on < claim.pull_day
    return claim.expires_on < maker.today(instant_of(claim.pulled_at))


def submit_by(claim: Claim, house: House, maker: Maker) -> datetime | None:
    """The instant by which the house submits: the earliest of its own term's end, the expiry's end and the end of the
    window in which the maker takes a claim of damage or of a missing hit.

    None for a card that had expired when it was pulled: it waits for a decision, and once it is to be
    tried there is nothing left to be in time for.
    """
    if expired_at_pull(claim, maker):
        return None
    within = house.terms.count_on("submit_within_days", claim.pull_day)
    own = end_of_day(claim.pull_day + timedelta(days=within), house.zone_on(claim.pull_day))
    window = file_until(claim, maker)
    ends = [own, expiry_end(claim, maker)]
    if window is not None:
        ends.append(end_of_day(window, maker.zone_on(claim.pull_day)))
    return min(end for end in ends if end is not None)


def ask_from(claim: Listed, maker: Maker, line: StartLine | None = None) -> date | None:
    """The first day, in the maker's zone, on which the maker may be asked; None unless submitted.

    With the house's start line, the day on which the desk reminds of it: an old claim waits for its week.
    """
    if claim.state != "submitted" or claim.submitted_on is None:
        return None
    due = _ask_due(claim, claim.submitted_on, maker)
    return due if line is None else line.for_ask(claim.last_asked_on or claim.submitted_on, due, claim.id)


def _ask_due(claim: Listed, submitted_on: date, maker: Maker) -> date:
    first = add_months(submitted_on, maker.terms.count_on("ask_after_months", submitted_on))
    if claim.last_asked_on is None:
        return first
    every = claim.answer_days
    if every is None:
        every = maker.terms.count_on("ask_every_days", claim.last_asked_on)
    return max(first, claim.last_asked_on + timedelta(days=max(every, 1)))


class Replies:
    """The days from which asks count as unanswered, reckoned once for each maker and day of the ask."""

    def __init__(self, house: House) -> None:
        self._house = house
        self._line = house.start_line
        self._known: dict[tuple[int | None, date], date] = {}

    def due(self, claim_id: int, asked_on: date, maker: Maker) -> date:
        """Some business days of the maker after the ask; with a start line not before it says."""
        due = self._known.get((maker.id, asked_on))
        if due is None:
            days = self._house.terms.count_on("no_reply_business_days", asked_on)
            due = self._known[maker.id, asked_on] = add_business_days(maker.office_on(asked_on), asked_on, days)
        return due if self._line is None else self._line.for_ask(asked_on, due, claim_id)


def no_reply_from(claim: Listed, house: House, maker: Maker, replies: Replies | None = None) -> date | None:
    """The day from which an ask counts as unanswered; for a long list pass what was reckoned for the claims before."""
    if claim.state != "submitted" or claim.last_asked_on is None or claim.answer is not None:
        return None
    return (replies or Replies(house)).due(claim.id, claim.last_asked_on, maker)


def news_due(news: News, house: House) -> date:
    """The earliest day by which any of the news folded into this item is to be told."""
    due = [
        (day, day + timedelta(days=house.terms.count_on("tell_urgent_within_days", day))) for day in news.urgent_days
    ]
    routine = [(day, routine_due(day, house)) for day in news.routine_days]
    line = house.start_line
    if line is not None:
        routine = [(since, line.for_person(since, day, news.person_id)) for since, day in routine]
        if news.word == "shipped":
            # What has left the house is no longer pressing; that it was never marked as told is the old list's gap.
            due = [(since, line.for_person(since, day, news.person_id)) for since, day in due]
    return min(day for _, day in [*due, *routine])


def routine_due(since: date, house: House) -> date:
    """The day by which routine news of a day is to be told.

    Where the house gathers it, that is the next weekly day after it, so that one day a week clears it all.
    """
    if house.terms.on("gather_routine_news", since) == "on":
        weekday = WEEKDAYS.index(house.terms.on("weekly_day", since))
        return since + timedelta(days=(weekday - since.weekday() - 1) % 7 + 1)
    return since + timedelta(days=house.terms.count_on("tell_routine_within_days", since))


def silence_due(
    last_told_on: date | None, oldest_submission: date | None, house: House, person_id: int = 0
) -> date | None:
    """The day on which a participant with submitted claims is due an update even without news.

    `person_id` says which day of the weeks after a start line is theirs.
    """
    if oldest_submission is None:
        return None
    since = last_told_on or oldest_submission
    due = since + timedelta(days=house.terms.count_on("update_every_days", since))
    line = house.start_line
    return due if line is None else line.for_person(since, due, person_id)


@dataclass(frozen=True, slots=True)
class Reminder:
    """Where the reminding about one claim stands.

    `due` is the day of the next reminder, None when all were sent; then `unanswered_from` is the day
    from which the participant counts as not answering.
    """

    word: str
    due: date | None
    unanswered_from: date | None


def reply_by(claim: Claim, house: House) -> date | None:
    """The day by which an offered replacement is to be answered, the house's own where none was named."""
    if claim.offered_on is None:
        return None
    if claim.reply_by is not None:
        return claim.reply_by
    return claim.offered_on + timedelta(days=house.terms.count_on("offer_without_date_days", claim.offered_on))


def reminder(claim: Claim, person: Person, house: House) -> Reminder | None:
    """The reminder that goes with the claim's state, if any: about an offer, an address or a delivery."""
    if claim.state == "offered" and claim.offer_answered_on is None:
        return _offer_reminder(claim, house)
    if claim.state == "in_hand" and claim.in_hand_on is not None:
        every = house.terms.count_on("remind_every_days", claim.in_hand_on)
        first = max(claim.in_hand_on + timedelta(days=every), person.address_stale_from(house))
        return _repeated(claim, "address", first, house)
    if claim.state == "shipped" and claim.shipped_on is not None and claim.lost_on is None:
        first = arrived_by(claim.shipped_on, person, house)
        line = house.start_line
        if line is not None:
            first = line.for_person(claim.shipped_on, first, person.id)
        return _repeated(claim, "delivery", first, house)
    return None


def arrived_by(shipped_on: date, person: Person, house: House) -> date:
    """The day on which to ask "did it arrive?"; later where the parcel went abroad."""
    home = house.terms.on("country", shipped_on)
    abroad = bool(home and person.address_country) and home.upper() != person.address_country.upper()
    name = "arrived_after_days_abroad" if abroad else "arrived_after_days"
    return shipped_on + timedelta(days=house.terms.count_on(name, shipped_on))


def _offer_reminder(claim: Claim, house: House) -> Reminder:
    offered_on, last = claim.offered_on, reply_by(claim, house)
    if offered_on is None or last is None:
        raise ValueError("an offered claim has the day of its offer")
    half_way = offered_on + timedelta(days=(last - offered_on).days // 2)
    days = sorted(day for day in {half_way, last - timedelta(days=2), last} if day >= offered_on)
    for day in days:
        if not any(told >= day for told in claim.phase_told):
            return Reminder("offered", day, None)
    third_on = min(told for told in claim.phase_told if told >= days[-1])
    every = house.terms.count_on("remind_every_days", third_on)
    return Reminder("offered", None, third_on + timedelta(days=every))


def _repeated(claim: Claim, word: str, first: date, house: House) -> Reminder:
    due, sent = first, 0
    for told in claim.phase_told:
        if told >= due:
            sent += 1
            due = told + timedelta(days=house.terms.count_on("remind_every_days", told))
            if sent == REMINDERS_AT_MOST:
                return Reminder(word, None, due)
    return Reminder(word, due, None)
