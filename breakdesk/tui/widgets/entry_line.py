"""The line in which a claim is typed: the arrows choose another reading, Escape lets go of the line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from textual import events
from textual.binding import Binding
from textual.geometry import Size
from textual.message import Message
from textual.reactive import reactive

from breakdesk.tui.widgets.inputs import SecretInput


class EntryLine(SecretInput):
    """One line to type; what the arrows, Tab and Escape mean is told to the screen."""

    BINDINGS = [
        Binding("up", "other(-1)", "Reading before", show=False),
        Binding("down", "other(1)", "Next reading", show=False),
        Binding("escape", "let_go", "Let go of the line", show=False),
    ]

    # A field lays the whole screen out anew for every letter, as it might grow with its text. This one never grows.
    value = reactive("", layout=False, init=False)
    virtual_size = reactive(Size(0, 0), layout=False)

    holds_code: Callable[[str], bool] = staticmethod(lambda text: False)
    """Tells whether what stands here is a claim's code: then its letters are dots on air."""

    def _follow_air(self, on_air: bool) -> None:
        self.password = on_air and self.holds_code(self.value)

    def watch_value(self, value: str) -> None:
        """Look at every letter before it is drawn."""
        self._follow_air(getattr(self.app, "on_air", False))

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

    @dataclass
    class LeftOut(Message):
        """Of a pasted text some lines were left out, or, where it is `too_long`, all of it."""

        line: EntryLine
        lines: int
        too_long: bool

        @property
        def control(self) -> EntryLine:
            """The line that sent it."""
            return self.line

    def on_paste(self, event: events.Paste) -> None:
        """Say what of a pasted text is not taken: a field takes its first line, and nothing where that is too long."""
        lines = [line for line in event.text.splitlines() if line.strip()]
        kept = len(self.value) - abs(self.selection.end - self.selection.start)
        if lines:
            event.text = "\n".join(lines)
        too_long = bool(lines) and self.max_length is not None and kept + len(lines[0]) > self.max_length
        if too_long:
            event.prevent_default()
            event.stop()
        if too_long or len(lines) > 1:
            self.post_message(self.LeftOut(self, len(lines), too_long))
