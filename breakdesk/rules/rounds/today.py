"""The five rounds: what a person can do today, and nothing that cannot be done.

`today_lists` takes the claims that could matter and the parties, and gives the five lists in the order
in which they are walked. The same function serves the present, a day in the past and a test.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from breakdesk.rules.claim import Claim, Listed, Waiting
from breakdesk.rules.parties import Parties
from breakdesk.rules.rounds.ask import to_ask
from breakdesk.rules.rounds.decide import to_decide
from breakdesk.rules.rounds.items import Parked, Promise, Review, Today
from breakdesk.rules.rounds.ship import to_ship
from breakdesk.rules.rounds.submit import to_submit
from breakdesk.rules.rounds.tell import to_tell


def today_lists(
    claims: Iterable[Claim],
    parties: Parties,
    now: datetime,
    parked: Parked | None = None,
    promises: Iterable[Promise] = (),
    waiting: Iterable[Waiting] = (),
    reviews: Iterable[Review] = (),
) -> Today:
    """The five lists at `now`. What is parked or on hold is in none of them.

    Claims that are with their makers may be given whole or, in `waiting`, by what the lists need of them.
    """
    parked = parked or Parked()
    claims = list(claims)
    everything: list[Listed] = [*claims, *waiting]
    free = [claim for claim in claims if not is_held(claim, parties)]
    listed = [claim for claim in everything if not is_held(claim, parties)]
    return Today(
        as_of=now,
        submit=to_submit(free, parties, now, parked),
        ask=to_ask(listed, parties, now, parked),
        tell=to_tell(everything, parties, now, parked),
        ship=to_ship(free, parties, now, parked),
        decide=to_decide(listed, parties, now, parked, promises, reviews),
    )


def is_held(claim: Listed, parties: Parties) -> bool:
    """Whether a claim is on hold, itself or with its owner."""
    if claim.on_hold:
        return True
    return claim.owner_id is not None and parties.people[claim.owner_id].on_hold
