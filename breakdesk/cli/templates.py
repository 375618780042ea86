"""The command `templates`: the house's own wording, checked and looked at before anybody is written to."""

from __future__ import annotations

from typing import TYPE_CHECKING, TextIO

import click

from breakdesk.cli.common import fail, report, with_desk
from breakdesk.cli.output import say, say_problem, say_table

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.house_wording import Place


@click.group("templates")
def templates_command() -> None:
    """Check, list, try and save the wording of messages. The files stand beside the desk, in "templates"."""


@templates_command.command("check")
@with_desk
def check_command(desk: Desk) -> None:
    """Render every file against every state; each mistake is named with its file and line."""
    from breakdesk.desk import house_wording

    problems = house_wording.check(desk)
    if problems:
        fail(*(str(problem) for problem in problems))
    say(f"All is well in {desk.folder / house_wording.FOLDER}.")


_tone = click.option("--tone", default="", help="Of this tone only: warm or brief.")
_language = click.option("--language", default="", help="Of this language only, such as de or pt_BR.")


@templates_command.command("list")
@_tone
@_language
@with_desk
def list_command(desk: Desk, tone: str, language: str) -> None:
    """List the templates and whose each is."""
    from breakdesk.desk import house_wording

    found = house_wording.wordings(desk, _place(tone, language))
    say_table(
        ("template", "text", "earlier versions"),
        [
            (
                item.name,
                "yours" if item.own else "shipped",
                str(len(house_wording.versions(desk, item.name, item.place)) or ""),
            )
            for item in found
        ],
        right=(2,),
    )


@templates_command.command("show")
@click.argument("name")
@_tone
@_language
@with_desk
def show_command(desk: Desk, name: str, tone: str, language: str) -> None:
    """Print a template's text, to be changed in a file and saved."""
    from breakdesk.desk import house_wording

    _require(name)
    say(house_wording.wording(desk, name, _place(tone, language)).text.removesuffix("\n"))


@templates_command.command("save")
@click.argument("name")
@click.argument("file", type=click.File("r", encoding="utf-8"))
@_tone
@_language
@with_desk
def save_command(desk: Desk, name: str, file: TextIO, tone: str, language: str) -> None:
    """Save FILE (- for standard input) as the template NAME; a text with a mistake is not saved."""
    from breakdesk.desk import house_wording

    report(house_wording.save(desk, name, file.read(), _place(tone, language)))


@templates_command.command("shipped")
@click.argument("name")
@_tone
@_language
@with_desk
def shipped_command(desk: Desk, name: str, tone: str, language: str) -> None:
    """Use the shipped text of NAME again; yours is kept among the versions."""
    from breakdesk.desk import house_wording

    report(house_wording.use_shipped(desk, name, _place(tone, language)))


@templates_command.command("try")
@click.argument("name")
@click.argument("who", required=False)
@click.option("--file", type=click.File("r", encoding="utf-8"), help="Try this file instead of the text that stands.")
@with_desk
def try_command(desk: Desk, name: str, who: str | None, file: TextIO | None) -> None:
    """Print how NAME would read to WHO, a real participant; nothing is saved and nobody is told."""
    from breakdesk.cli import named
    from breakdesk.desk import house_wording

    _require(name)
    text = file.read() if file is not None else house_wording.wording(desk, name).text
    key = named.person_id(desk, who) if who else next((row[0] for row in house_wording.people_for_preview(desk)), None)
    shown = house_wording.preview(desk, name, text, key)
    if shown.problems:
        fail(*(str(problem) for problem in shown.problems))
    say(shown.text)
    if not shown.real:
        say_problem("Nothing of theirs would use it now; these are invented values.")


def _place(tone: str, language: str) -> Place:
    from breakdesk.desk.house_wording import Place

    return Place(tone, language)


def _require(name: str) -> None:
    from breakdesk.files.messages.sources import NAMES

    if name not in NAMES:
        fail(f"No message uses a template called {name}. The names are {', '.join(NAMES)}.")
