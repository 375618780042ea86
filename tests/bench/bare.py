"""The barest programs to compare with: `python bare.py empty` and `python bare.py input`, in a terminal."""

from __future__ import annotations

import sys

from textual.app import App, ComposeResult
from textual.widgets import Input, Label


class Empty(App[None]):
    """A word and nothing else."""

    def compose(self) -> ComposeResult:
        """Give the word."""
        yield Label("bare and ready")


class OneInput(App[None]):
    """A line to type in and nothing else."""

    def compose(self) -> ComposeResult:
        """Give the line."""
        yield Input(placeholder="bare and ready")


if __name__ == "__main__":
    (Empty if sys.argv[1] == "empty" else OneInput)().run()
