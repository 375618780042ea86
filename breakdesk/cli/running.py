"""Runs a typed command: its exit code, and what a person reads where something goes wrong."""

from __future__ import annotations

import os
import sys
import traceback
from collections.abc import Sequence

import click

from breakdesk.cli.output import prepare_streams, say_problem
from breakdesk.cli.root import breakdesk

TRACE = "BREAKDESK_TRACE"
COMPLETION = "_BREAKDESK_COMPLETE"
"""Where a shell asks what could be typed next; docs/command-line.md tells how to set that up."""


def run(arguments: Sequence[str]) -> int:
    """Runs a command and returns its exit code; whatever goes wrong is said in a sentence."""
    prepare_streams()
    asked = os.environ.get(COMPLETION)
    if asked:
        from click.shell_completion import shell_complete

        return shell_complete(breakdesk, {}, "breakdesk", COMPLETION, asked)
    try:
        with breakdesk.make_context("breakdesk", list(arguments)) as context:
            code = breakdesk.invoke(context)
        sys.stdout.flush()
    except BaseException as error:
        return ended_by(error)
    return code if isinstance(code, int) else 0


def ended_by(error: BaseException) -> int:
    """The exit code where something ended the program, after a sentence about it where one is needed."""
    if isinstance(error, click.exceptions.Exit):
        return _ended(error.exit_code)
    if isinstance(error, click.ClickException):
        return _say_usage(error)
    if isinstance(error, click.Abort | KeyboardInterrupt | EOFError):
        say_problem("Stopped. What was not confirmed was not saved.")
        return 1
    if isinstance(error, BrokenPipeError):
        return _end_quietly()
    if isinstance(error, OSError):
        say_problem(
            f"{error.filename or 'A file'}: {error.strerror or error}. Check the name, the rights and the space."
        )
        return 1
    if isinstance(error, ValueError) and "null byte" in str(error):
        say_problem("A name holds a character that no file can have. Type it again; nothing was saved.")
        return 1
    if isinstance(error, UnicodeError):
        say_problem("What was typed holds broken characters, which are no text. Type it again; nothing was saved.")
        return 1
    if isinstance(error, Exception):
        return _say_unexpected(error)
    raise error


def _say_usage(error: click.ClickException) -> int:
    say_problem(error.format_message())
    context = error.ctx if isinstance(error, click.UsageError) else None
    if context is not None:
        say_problem(context.get_usage())
        say_problem(f"`{context.command_path} --help` explains it.")
    return error.exit_code


def _ended(code: int) -> int:
    """A command that ended by itself; what it printed may still be on its way to a reader who left."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        _end_quietly()
    return code


def _end_quietly() -> int:
    """Whoever read our output has read enough."""
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, sys.stdout.fileno())
    return 0


def _say_unexpected(error: Exception) -> int:
    from breakdesk.store.opening import CannotOpen

    if isinstance(error, CannotOpen):
        say_problem(str(error))
        return 1
    if os.environ.get(TRACE):
        traceback.print_exception(error)
    if "locked" in str(error):
        say_problem("The desk is in use by another program. Close that program, then try again; nothing was changed.")
        return 1
    say_problem(f"Something went wrong that Breakdesk did not foresee. Nothing was changed. {_report(error)}")
    return 1


def _report(error: Exception) -> str:
    """Where the report of a failure is kept, which holds nothing of anybody's."""
    from datetime import UTC, datetime

    from breakdesk.desk.failures import own_log_folder, write_report
    from breakdesk.desk.log import Entry, begin_log, log

    begin_log(own_log_folder())
    path = write_report(own_log_folder(), error, datetime.now(UTC))
    log(Entry.FAILED if path else Entry.FAILED_WITHOUT_REPORT)
    if path is None:
        return f"Please report it; with {TRACE}=1 in the environment the same command says where it happened."
    return f"Please report it with the file {path}: it holds no name, code or address."
