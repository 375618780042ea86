"""What the commands share: which desk, as of when, and how a result or a problem ends a command."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from functools import wraps
from pathlib import Path
from typing import TYPE_CHECKING, Any, NoReturn

import click

from breakdesk.cli.instants import INSTANT, clock_for
from breakdesk.cli.output import say, say_problem
from breakdesk.cli.place import default_desk

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.desk.problems import Done, Result

Command = Callable[..., Any]
COMMANDS_WITH_CODES = frozenset({"load", "pull", "submit", "void", "undo", "code", "lock", "photo"})
"""The commands that read, write or compare codes, and so need them unlocked."""
Written = date | datetime | None

on_option = click.option(
    "--on",
    type=INSTANT,
    metavar="INSTANT",
    help="As of when, or when it happened: a day, a time of the house, or a time with its offset (ISO 8601).",
)
json_option = click.option("--json", "as_json", is_flag=True, help="Print JSON, for other programs.")


def desk_path() -> Path:
    """The desk file of this command."""
    named = click.get_current_context().obj
    if named is not None:
        return Path(named)
    from breakdesk.store.server_address import BadAddress

    try:
        return default_desk()
    except BadAddress as error:
        fail(f"BREAKDESK_DESK: {error}")


def fail(*sentences: str) -> NoReturn:
    """Ends the command with exit code 1 and one sentence a problem on the error stream."""
    for sentence in sentences:
        say_problem(sentence)
    raise click.exceptions.Exit(1)


@contextmanager
def opened(path: Path, written: Written = None, *, create: bool = False) -> Iterator[Desk]:
    """The desk as of the instant that was named; where there is none the command ends with a sentence."""
    from breakdesk.desk.backups import back_up_when_due
    from breakdesk.desk.clock import Clock
    from breakdesk.desk.clock_check import clock_warning
    from breakdesk.desk.desk import open_desk
    from breakdesk.desk.obstacles import problem_of
    from breakdesk.desk.privacy import notes_on_privacy
    from breakdesk.store.chain import head_of
    from breakdesk.store.engine import ENGINE_ERRORS
    from breakdesk.store.opening import CannotOpen

    try:
        desk = open_desk(path, create=create)
    except CannotOpen as error:
        fail(str(error))
    for note in notes_on_privacy(path):
        say_problem(f"Note: {note}")
    try:
        said = clock_warning(desk)
        if said:
            say_problem(f"Note: {said}")
        _unlock_for_this_command(desk)
        desk.seen.look(desk.database)
        before = head_of(desk.database)
        yield desk.at(clock_for(written))
        if head_of(desk.database) != before:
            _note_holidays(desk)
    except ENGINE_ERRORS as error:
        problem = problem_of(desk, error)
        if problem is None:
            raise
        fail(problem.sentence)
    finally:
        desk.close()
    problem = back_up_when_due(path, Clock())
    if problem is not None:
        say_problem(f"Note: no backup was made. {problem.sentence}")


def _note_holidays(desk: Desk) -> None:
    """Notes the makers' coming public holidays where they run out, as the screen does; for commands that wrote only."""
    from breakdesk.desk.holidays import look_ahead
    from breakdesk.desk.problems import Problem

    noted = look_ahead(desk)
    if isinstance(noted, Problem):
        say_problem(f"Note: the public holidays of the coming years could not be noted. {noted.sentence}")


def _unlock_for_this_command(desk: Desk) -> None:
    """Asks for the passphrase before anything begins, so that nothing waits for a person while the desk is held."""
    context = click.get_current_context(silent=True)
    names = set()
    while context is not None:
        names.add(context.info_name)
        context = context.parent
    if names & COMMANDS_WITH_CODES:
        from breakdesk.cli.locks import unlock_by_typing

        unlock_by_typing(desk)


def with_desk(function: Command) -> Command:
    """Gives a command the open desk as its first argument, and the option `--on`."""

    @on_option
    @wraps(function)
    def run(on: Written, **given: Any) -> Any:
        with opened(desk_path(), on) as desk:
            return function(desk, **given)

    return run


def report(result: Result) -> Done:
    """Says what an action did; a problem ends the command."""
    from breakdesk.desk.problems import Done

    if not isinstance(result, Done):
        fail(result.sentence)
    say(result.said)
    for warning in result.warnings:
        say_problem(f"Note: {warning}")
    return result
