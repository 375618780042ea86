"""A reminder to tell a participant of a delay and to give them a choice; off unless the house switches it on.

Where a house took payment for goods that come late, consumer law may require a notice with a choice to wait or to
cancel: in the US 16 CFR Part 435 for orders of merchandise. Whether any such rule applies to a claim card from a break
is not settled, and local law decides. This is a reminder with the house's own number of days, not legal advice.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Final

from breakdesk.rules.claim import Claim
from breakdesk.rules.names import name_order
from breakdesk.rules.parties import House, Parties, Person

CAUTION: Final = (
    "This is a reminder, not legal advice. Some laws ask for a notice of delay with a choice, in the US 16 CFR "
    "Part 435; whether such a rule applies to a claim card is not settled, and your local law decides. Ask a licensed "
    "adviser."
)


@dataclass(frozen=True, slots=True)
class DelayNotice:
    """A participant is to be told that a card is late; `due_on` is the house's day from which the notice is due."""

    claim: Claim
    person: Person
    due_on: date


def notice_due_on(claim: Claim, house: House) -> date | None:
    """The day on which a notice falls due: so many days after the pull, then as many after each notice given.

    None where the house has not switched notices on by the day from which the days count, where nobody but the house
    waits, and where something was shipped or nothing is owed any more.
    """
    if claim.owner_id is None or not claim.is_open or claim.shipped_on is not None:
        return None
    start = claim.pull_day if claim.noticed_on is None else max(claim.pull_day, claim.noticed_on)
    if house.terms.on("delay_notice", start) != "on":
        return None
    return start + timedelta(days=house.terms.count_on("delay_notice_days", start))


def delay_notices(claims: Iterable[Claim], parties: Parties, now: datetime) -> tuple[DelayNotice, ...]:
    """The notices whose day has come, by participant's name, then tag.

    A hold does not stop a notice: it stops what goes out, not what a law may ask for.
    """
    today = parties.house.today(now)
    notices = []
    for claim in claims:
        due = notice_due_on(claim, parties.house)
        if due is not None and due <= today and claim.owner_id is not None:
            notices.append(DelayNotice(claim, parties.people[claim.owner_id], due))
    return tuple(sorted(notices, key=lambda notice: (name_order(notice.person.name), notice.claim.tag)))
