"""Opens the screen, where there is a terminal to show it on."""

from __future__ import annotations

import sys
from pathlib import Path

from breakdesk.cli.common import desk_path, fail


def open_screen(path: Path | None = None) -> int:
    """Shows the desk on the screen until it is left; returns the exit code."""
    if not has_terminal():
        fail("The screen needs a terminal. `breakdesk today` prints the lists; `breakdesk --help` names all commands.")
    from breakdesk.store.opening import CannotOpen
    from breakdesk.tui.app import run_screen

    try:
        return run_screen(path or desk_path())
    except CannotOpen as error:
        fail(str(error))


def has_terminal() -> bool:
    """Whether a person sits at both ends of this command."""
    return sys.stdin.isatty() and sys.stdout.isatty()
