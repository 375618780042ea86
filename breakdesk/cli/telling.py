"""The command `tell`: one message a participant, and the record that it was told."""

from __future__ import annotations

import re
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
@with_desk
def tell_command(
    desk: Desk, who: str | None, told: bool, everybody: bool, out: Path | None, channel: str, tone: str | None
) -> None:
    """Print the message with everything that WHO (a name or a handle) should hear.

    Without WHO lists the participants whose telling is due. With --all --out FOLDER writes a file for each of them.
    """
    from breakdesk.cli import named
    from breakdesk.desk.telling import telling_for

    if everybody != (out is not None) or (everybody and who):
        raise click.UsageError("--all and --out belong together, without WHO: tell --all --out FOLDER.")
    if everybody and out is not None:
        _write_all(desk, out, told=told, tone=tone or "", channel=channel)
        return
    if who is None:
        if told:
            raise click.UsageError("Say who was told: tell WHO --told.")
        _list(desk)
        return
    telling = telling_for(desk, named.person_id(desk, who), tone or "", channel)
    if not telling.items:
        say(f"There is nothing to tell {telling.view.participant_name}.")
        return
    _say_message(telling)
    if told:
        say()
        _mark(desk, telling)


def _say_message(telling: Telling) -> None:
    message = telling.message
    if message.subject:
        say(f"Subject: {message.subject}")
        say()
    for position, part in enumerate(message.parts):
        if position:
            say()
        say(part)
    for warning in message.warnings:
        say_problem(f"Note: {warning}")


def _mark(desk: Desk, telling: Telling) -> None:
    from breakdesk.desk.telling import mark_told

    message = telling.message
    ids = telling.claim_ids
    report(mark_told(desk, telling.person_id, ids, message.channel, message.whole, message.templates))


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


def _write_all(desk: Desk, folder: Path, *, told: bool, tone: str, channel: str) -> None:
    from breakdesk.desk.telling import telling_for
    from breakdesk.desk.viewing import today

    tellings = [telling_for(desk, person.person.id, tone, channel) for person in today(desk).today.tell]
    if not tellings:
        fail("Nobody has to be told anything now.")
    folder.mkdir(parents=True, exist_ok=True)
    for telling in tellings:
        message = telling.message
        heading = f"Subject: {message.subject}\n\n" if message.subject else ""
        path = folder / _file_name(telling)
        path.write_text(f"{heading}{message.text}\n", encoding="utf-8", newline="\n")
    say(f"{counted(len(tellings), 'message')} written to {folder}.")
    if told:
        for telling in tellings:
            _mark(desk, telling)


def _file_name(telling: Telling) -> str:
    """A name that every system takes: letters and digits of the person's name, and their number."""
    letters = re.sub(r"[^\w]+", "-", telling.view.participant_name).strip("-_").lower()[:60]
    return f"{letters or 'participant'}-{telling.person_id}.txt"
