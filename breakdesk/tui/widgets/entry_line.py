"""The line in which a claim is typed: the arrows choose another reading, Escape lets go of the line."""

from __future__ import annotations

from dataclasses import dataclass

from textual.binding import Binding
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive
from textual.widgets import Input


class EntryLine(Input):
    """One line to type; what the arrows, Tab and Escape mean is told to the screen."""

    BINDINGS = [
        Binding("up", "other(-1)", "Reading before", show=False),
        Binding("down", "other(1)", "Next reading", show=False),
        Binding("escape", "let_go", "Let go of the line", show=False),
    ]

    # A field lays the whole screen out anew for every letter, as it might grow with its text. This one never grows.
    value = reactive("", layout=False, init=False)
    virtual_size = reactive(Size(0, 0), layout=False)

    @dataclass
    class Other(Message):
        """Another reading is wanted."""

        line: EntryLine
        step: int

        @property
        def control(self) -> EntryLine:
            """The line that sent it."""
            return self.line

    def action_other(self, step: int) -> None:
        """Ask for another reading."""
        self.post_message(self.Other(self, step))

    @dataclass
    class LetGo(Message):
        """Escape was pressed."""

        line: EntryLine

        @property
        def control(self) -> EntryLine:
            """The line that sent it."""
            return self.line

    def action_let_go(self) -> None:
        """Let go of the line."""
        self.post_message(self.LetGo(self))
