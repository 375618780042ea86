"""The command `tell`: one message a participant, and the record that it was told."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_problem, say_table
from breakdesk.cli.wording import weekday_words
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.telling import Telling


@click.command("tell")
@click.argument("who", required=False)
@click.option("--told", is_flag=True, help="Record that they were told: nothing is marked without it.")
@click.option("--all", "everybody", is_flag=True, help="Everybody whose telling is due.")
@click.option("--out", type=click.Path(path_type=Path, file_okay=False), metavar="FOLDER", help="Where --all writes.")
@click.option("--channel", default="", help="direct, email, sms or public; otherwise the participant's own.")
@click.option("--tone", type=click.Choice(["warm", "brief"]), help="Otherwise the one that the house settled.")
@click.option("--plain", is_flag=True, help="Plain characters in a short message that others would make longer.")
@with_desk
def tell_command(
    desk: Desk,
    who: str | None,
    told: bool,
    everybody: bool,
    out: Path | None,
    channel: str,
    tone: str | None,
    plain: bool,
) -> None:
    """Print the message with everything that WHO (a name or a handle) should hear.

    Without WHO lists the participants whose telling is due. With --all --out FOLDER writes a file for each of them.
    """
    from breakdesk.cli import named
    from breakdesk.desk.telling import mark_told, telling_for

    if everybody != (out is not None) or (everybody and who):
        raise click.UsageError("--all and --out belong together, without WHO: tell --all --out FOLDER.")
    if everybody and out is not None:
        _write_all(desk, out, told=told, tone=tone or "", channel=channel, plain=plain)
        return
    if who is None:
        if told:
            raise click.UsageError("Say who was told: tell WHO --told.")
        _list(desk)
        return
    person_id = named.person_id(desk, who)
    refuse_mixed_times(desk, [person_id])
    telling = telling_for(desk, person_id, tone or "", channel, plain=plain)
    if not telling.items:
        say(f"There is nothing to tell {telling.view.participant_name}.")
        return
    if _opted_out(desk, person_id):
        say_problem(f"{telling.view.participant_name} opted out of messages: none is written.")
        if told:
            report(mark_told(desk, person_id, telling.claim_ids, "none", "", number=telling.number))
        return
    _say_message(telling)
    _say_way(desk, person_id, channel)
    if told:
        say()
        _mark(desk, telling)


def _say_message(telling: Telling) -> None:
    from breakdesk.rules.sms import sms_words

    message = telling.message
    if message.subject:
        say(f"Subject: {message.subject}")
        say()
    for position, part in enumerate(message.parts):
        if position:
            say()
        say(part)
    if message.sms is not None:
        say_problem(f"Note: {sms_words(message.sms)}.")
    for warning in message.warnings:
        say_problem(f"Note: {warning}")


def _opted_out(desk: Desk, person_id: int) -> bool:
    from breakdesk.desk.answering import person_view

    view = person_view(desk, person_id)
    return view is not None and view.opted_out


def _say_way(desk: Desk, person_id: int, channel: str) -> None:
    """Says what stands against writing to them now; on the error stream, beside the message."""
    from breakdesk.desk.ways import ways_to

    way = ways_to(desk, [person_id], channel)[person_id]
    if way.quiet:
        say_problem(f"Note: {way.quiet}. It is held until then, unless you write on purpose.")
    if way.note:
        say_problem(f"Note: {way.note}")


def _mark(desk: Desk, telling: Telling) -> None:
    from breakdesk.desk.telling import mark_told

    message = telling.message
    ids = telling.claim_ids
    said = (message.channel, message.whole, message.templates)
    report(mark_told(desk, telling.person_id, ids, *said, number=telling.number))


def _list(desk: Desk) -> None:
    from breakdesk.desk.viewing import today

    people = today(desk).today.tell
    if not people:
        say("Nobody has to be told anything now.")
        return
    rows = []
    for person in people:
        news = sum(1 for item in person.items if item.news != "waiting")
        waiting = len(person.items) - news
        rows.append((person.person.name, person.person.handle, weekday_words(person.due_on), str(news), str(waiting)))
    say_table(("participant", "handle", "due", "news", "still waiting"), rows, right=(3, 4))


def refuse_mixed_times(desk: Desk, person_ids: Sequence[int]) -> None:
    """Ends the command where it would write messages as of a past instant from what is known since."""
    from breakdesk.desk.reaching import mixes_times

    if mixes_times(desk, person_ids):
        fail(
            "Messages say what is known now, and something happened to these claims after the day that --on names: "
            "leave it out."
        )


def _write_all(desk: Desk, folder: Path, *, told: bool, tone: str, channel: str, plain: bool) -> None:
    from breakdesk.desk.bulk import Wanted, choose, keys_of
    from breakdesk.desk.bulk_files import ToWrite, write_bulk
    from breakdesk.desk.bulk_told import mark_list_told
    from breakdesk.desk.problems import Problem
    from breakdesk.desk.viewing import today

    due = tuple(person.person.id for person in today(desk).today.tell)
    if not due:
        fail("Nobody has to be told anything now.")
    recipients = choose(desk, Wanted(person_ids=due), again=True)
    for item in recipients:
        if item.left_out:
            say_problem(f"{item.name}: {item.left_out}.")
    refuse_mixed_times(desk, keys_of(recipients))
    keys = keys_of(recipients)
    wanted = ToWrite(person_ids=keys, out=folder, form="txt", tone=tone, channel=channel, plain=plain)
    written = write_bulk(desk, wanted)
    if isinstance(written, Problem):
        fail(written.sentence)
    say(f"{counted(written.count, 'message')} written to {folder}.")
    if not told:
        say(f"Once they went out: breakdesk send --told {folder}")
        return
    marked = mark_list_told(desk, folder)
    if isinstance(marked, Problem):
        fail(marked.sentence)
    say(f"{counted(marked.count, 'participant')} told.")
    if marked.problems:
        fail(*marked.problems)
