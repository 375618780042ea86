"""The command line: the same actions and views as the screen has, without a screen."""

from __future__ import annotations

import gc
import os
import sys

OBJECTS_OF_A_START = 200_000
"""So many objects come and stay while a program starts; until then there is nothing that could be given back."""


def main() -> None:
    """Runs the command that was typed and ends with its exit code: 0 done, 1 something to correct, 2 wrong usage."""
    gc.set_threshold(OBJECTS_OF_A_START)
    # What a desk writes holds names and addresses: whatever file it makes is for its owner only.
    os.umask(0o077)
    arguments = sys.argv[1:]
    if not arguments and sys.stdin.isatty() and sys.stdout.isatty():
        raise SystemExit(_screen())
    from breakdesk.cli.running import run

    raise SystemExit(run(arguments))


def _screen() -> int:
    """The screen without a command: what only commands need is not loaded, unless something goes wrong."""
    from breakdesk.cli.place import default_desk

    try:
        from breakdesk.tui.app import run_screen

        return run_screen(default_desk())
    except BaseException as error:
        from breakdesk.cli.output import prepare_streams
        from breakdesk.cli.running import ended_by

        prepare_streams()
        return ended_by(error)
