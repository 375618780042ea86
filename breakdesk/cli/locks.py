"""The commands `lock` and `code`, and asking for the passphrase where codes are needed."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import desk_path, fail, opened, report, with_desk
from breakdesk.cli.output import say, say_fields, say_problem
from breakdesk.cli.words import OneWord

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk

WAY = OneWord(("passphrase", "key_file", "keyring", "recovery_key"))


@click.group("lock", invoke_without_command=True)
@click.pass_context
def lock_command(context: click.Context) -> None:
    """List the ways to unlock the desk's codes, or add and remove them.

    Codes are always sealed. To begin with a key file beside the desk opens them, so that whoever has both files can
    read them; a passphrase in its place is asked for when codes are needed.
    """
    if context.invoked_subcommand is None:
        with opened(desk_path()) as desk:
            _list(desk)


def _list(desk: Desk) -> None:
    from breakdesk.desk.locking import list_ways

    lines = list_ways(desk)
    if not lines:
        say("This desk has codes and no way to unlock them. Restore a backup that has one.")
        return
    say("This desk is unlocked by:")
    say_fields((line.kind, line.about) for line in lines)
    if not any(line.kind == "recovery key" for line in lines):
        say("It has no recovery key: `breakdesk lock add recovery-key` makes one to print.")


@lock_command.command("add")
@click.argument("way", type=WAY)
@with_desk
def add_command(desk: Desk, way: str) -> None:
    """Add a way to unlock the codes; an earlier passphrase or recovery key is replaced."""
    from breakdesk.desk import locking
    from breakdesk.desk.problems import Done

    if way == "recovery_key":
        _need_a_terminal("A recovery key is shown once, on a terminal that nothing streams.")
        click.confirm("The recovery key will stand on this screen. Is nothing streaming it?", abort=True, err=True)
        result, made = locking.add_recovery_key(desk)
        report(result)
        if isinstance(result, Done):
            say(made)
        return
    if way == "passphrase":
        report(locking.add_passphrase(desk, _new_passphrase()))
        return
    report(locking.add_key_file(desk) if way == "key_file" else locking.add_keyring(desk))


@lock_command.command("remove")
@click.argument("way", type=WAY)
@with_desk
def remove_command(desk: Desk, way: str) -> None:
    """Remove a way to unlock the codes; the last one that needs no recovery key stays."""
    from breakdesk.desk.locking import remove_way

    report(remove_way(desk, way.replace("_", " ")))


@click.command("code")
@click.argument("tag")
@with_desk
def code_command(desk: Desk, tag: str) -> None:
    """Show a claim's code in the clear: on a terminal only, after a question, and the history says that it was shown.

    A code is money: whoever reads it can take the card.
    """
    from breakdesk.desk.codes import show_code

    _need_a_terminal("A code is shown on a terminal only, never to a pipe or a file.")
    click.confirm(f"The code of {tag!r} will stand on this screen. Is nothing streaming it?", abort=True, err=True)
    result, code = show_code(desk, tag)
    report(result)
    say(code)


def unlock_by_typing(desk: Desk) -> None:
    """Asks at a terminal for the passphrase or the recovery key where only these unlock; Enter goes on without."""
    from breakdesk.desk.locking import must_be_typed, unlock

    if not must_be_typed(desk) or not sys.stdin.isatty():
        return
    for _ in range(3):
        typed = click.prompt("Passphrase or recovery key", default="", show_default=False, hide_input=True, err=True)
        if not typed:
            return
        problem = unlock(desk, typed)
        if problem is None:
            return
        say_problem(problem.sentence)
    fail("The desk's codes stay locked.")


def _new_passphrase() -> str:
    if not sys.stdin.isatty():
        return sys.stdin.readline().rstrip("\r\n")
    typed: str = click.prompt("New passphrase", hide_input=True, confirmation_prompt="The same again", err=True)
    return typed


def _need_a_terminal(reason: str) -> None:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        fail(reason)
