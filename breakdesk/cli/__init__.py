"""The command line: the same actions and views as the screen has, without a screen."""

from __future__ import annotations


def main() -> None:
    """Runs the command that was typed and ends with its exit code: 0 done, 1 something to correct, 2 wrong usage."""
    import sys

    from breakdesk.cli.running import run

    raise SystemExit(run(sys.argv[1:]))
