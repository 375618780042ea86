"""The two debts of a claim as periods: from when until when the house owes a person, and the maker owes the house.

They end separately. The house's debt ends when it is settled, when the claim is closed or found to be a mistake, or
when the card becomes the house's own. The maker's debt ends when the card comes, when the maker refuses, when the
claim is closed otherwise, or is a mistake; settling with a participant leaves it. A claim card that is to be given
away is the participant's business with the maker: the house waits for nothing there. A card of which the owner is
still to be decided is owed to somebody all the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final, Literal

from breakdesk.rules.claim import Claim
from breakdesk.rules.waits import ending, facts_of

Side = Literal["house", "makers"]
SIDES: Final[tuple[Side, ...]] = ("house", "makers")
TO_THE_HOUSE: Final = "to_the_house"
"""The card became the house's own without a settlement."""


@dataclass(frozen=True, slots=True)
class Debt:
    """One side's debt about a claim: from `begins` on, until it ended on `ended` in the way `how`; days of the house.

    A debt that ended on a day was owed at the beginning of that day and is not owed at its end.
    """

    claim: Claim
    side: Side
    begins: date
    ended: date | None
    how: str | None

    def owed_at_end_of(self, day: date) -> bool:
        """Whether it was owed when a day of the house ended."""
        return self.begins <= day and (self.ended is None or self.ended > day)


def debts_of(claim: Claim) -> Iterator[Debt]:
    """The debts that a claim stands for: none, one or both."""
    house = _house_debt(claim)
    if house is not None:
        yield house
    makers = _makers_debt(claim)
    if makers is not None:
        yield makers


def _house_debt(claim: Claim) -> Debt | None:
    was_owed = claim.owner_kind != "house" or claim.first_owner_id is not None or claim.settled_on is not None
    if not was_owed:
        return None
    ended, how = _end_for_people(claim)
    return Debt(claim, "house", claim.pull_day, ended and max(ended, claim.pull_day), how)


def _end_for_people(claim: Claim) -> tuple[date | None, str | None]:
    if claim.owner_kind == "house" and claim.settled_on is not None:
        return claim.settled_on, claim.settled_how
    if claim.owner_kind == "house" and claim.owner_since is not None and claim.owner_since < _closing_day(claim):
        return claim.owner_since, TO_THE_HOUSE
    if claim.state == "closed":
        return claim.closed_on, claim.closed_how
    if claim.state == "void":
        return claim.last_event_on, "void"
    return None, None


def _closing_day(claim: Claim) -> date:
    if claim.state == "void":
        return claim.last_event_on
    return claim.closed_on or date.max


def _makers_debt(claim: Claim) -> Debt | None:
    if claim.plan == "give" or claim.closed_how == "given":
        return None
    ended, end = ending(facts_of(claim))
    how = claim.closed_how if end == "closed" else end
    return Debt(claim, "makers", claim.pull_day, ended and max(ended, claim.pull_day), how if ended else None)
