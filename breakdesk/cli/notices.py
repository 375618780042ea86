"""The command `notices`: notices of delay that are due, where the house has switched them on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import report, with_desk
from breakdesk.cli.output import say
from breakdesk.cli.wording import weekday_words
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk


@click.command("notices")
@click.option("--given", multiple=True, metavar="TAG", help="Record that the notice about this claim was given.")
@with_desk
def notices_command(desk: Desk, given: tuple[str, ...]) -> None:
    """List the notices of delay that are due, with a text for each participant.

    Off by default: `breakdesk settle house delay_notice on` switches it on, for what is pulled from then on (or for
    everything with --since-always), and delay_notice_days sets the days. It is a reminder, not legal advice.
    """
    from breakdesk.desk.notices import give_notice, is_on, people_to_notify
    from breakdesk.rules.delay import CAUTION
    from breakdesk.store.parties import read_house

    if given:
        report(give_notice(desk, given))
        return
    people = people_to_notify(desk)
    house = read_house()
    if not people:
        switched = is_on(house, house.today(desk.clock.as_of()))
        say("No notice of delay is due." if switched else "Notices of delay are switched off.")
        say(CAUTION)
        return
    say(f"{counted(len(people), 'participant')} to be told of a delay. {CAUTION}")
    for person in people:
        tags = ", ".join(notice.claim.tag for notice in person.notices)
        say()
        say(f"{person.name}, due since {weekday_words(person.due_on)}: {tags}")
        say()
        say(person.message.text)
