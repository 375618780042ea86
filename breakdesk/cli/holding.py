"""The commands that put something aside: `hold`, `release` and `park`."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import report, with_desk
from breakdesk.cli.instants import DAY
from breakdesk.cli.words import OneWord

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk

_ROUNDS = ("submit", "ask", "tell", "ship", "decide")
_OF_PEOPLE = ("tell", "ship")


@click.command("hold")
@click.argument("what", metavar="TAG|WHO")
@click.option("--reason", required=True, help="Why nothing may go out, as when a payment is disputed.")
@with_desk
def hold_command(desk: Desk, what: str, reason: str) -> None:
    """Put a claim, or everything that is owed to a participant, on hold: nothing goes out until it is released."""
    from breakdesk.desk.following import hold, hold_person
    from breakdesk.store.claims import claim_with_tag

    is_claim = claim_with_tag(what) is not None
    report(hold(desk, what, reason) if is_claim else hold_person(desk, what, on=True, reason=reason))


@click.command("release")
@click.argument("what", metavar="TAG|WHO")
@with_desk
def release_command(desk: Desk, what: str) -> None:
    """End a hold."""
    from breakdesk.desk.following import hold_person, release
    from breakdesk.store.claims import claim_with_tag

    is_claim = claim_with_tag(what) is not None
    report(release(desk, what) if is_claim else hold_person(desk, what, on=False))


@click.command("park")
@click.argument("round_name", type=OneWord(_ROUNDS), metavar="ROUND")
@click.argument("what", metavar="TAG|WHO")
@click.option("--until", type=DAY, required=True, help="The day on which it comes back.")
@click.option("--reason", required=True, help="Why it waits.")
@with_desk
def park_command(desk: Desk, round_name: str, what: str, until: date, reason: str) -> None:
    """Put an item of a round (submit, ask, tell, ship, decide) aside until a day.

    Tell and ship put a participant aside, the other rounds a claim.
    """
    from breakdesk.cli import named
    from breakdesk.desk.following import park

    key = named.person_id(desk, what) if round_name in _OF_PEOPLE else named.claim_of(desk, what).id
    report(park(desk, round_name, key, until, reason))
