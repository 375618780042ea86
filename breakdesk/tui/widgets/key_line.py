"""The lines at the foot of every screen: what was done last, and the few keys of this screen."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from textual import events
from textual.content import Content
from textual.style import Style

from breakdesk.rules.tags import with_tags_shown
from breakdesk.tui.commands import EVERYWHERE, Command, key_words
from breakdesk.tui.masking import Secret
from breakdesk.tui.widgets.cells import cut, wrap
from breakdesk.tui.widgets.lines import ACCENT, QUIET, Lines, words

BETWEEN = 3
MOST_LINES = 2
ALWAYS_IN_SIGHT = ("everywhere.help", "everywhere.on-air")
"""Where not all keys fit, the way to all of them and the way to hide what is shown stay."""


@dataclass(frozen=True, slots=True, eq=False)
class _Entry:
    """One key with its label, and how readily it is left out where there is no room: the highest first."""

    content: Content
    rank: int


class KeyLine(Lines):
    """The keys in sight, wrapped between commands; at most two lines, and a click does what the key does."""

    ALLOW_SELECT = False

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._entries: tuple[_Entry, ...] = ()

    def show(self, commands: Iterable[Command], *, keys: dict[str, str] | None = None) -> None:
        """Show commands; `keys` holds the keys that a settings file gave to command ids."""
        rebound = keys or {}
        self._entries = tuple(
            _Entry(
                _item(key_words(rebound.get(command.id, command.keys[0])), command.label, _click(command)),
                0 if command.id in ALWAYS_IN_SIGHT else 2 if command.context == EVERYWHERE else 1,
            )
            for command in commands
            if command.keys
        )
        self.draw_anew()

    def build(self, width: int) -> list[Content]:
        """Return the lines; where they are too few the last of what may be missed is left out."""
        entries = list(self._entries)
        lines = self._lines(entries, width)
        while len(lines) > MOST_LINES and len(entries) > 1:
            least = max(entry.rank for entry in entries)
            entries.remove([entry for entry in entries if entry.rank == least][-1])
            lines = self._lines(entries, width)
        return lines[:MOST_LINES]

    @staticmethod
    def _lines(entries: Iterable[_Entry], width: int) -> list[Content]:
        lines: list[Content] = []
        line = Content("")
        for item in (entry.content for entry in entries):
            if line.cell_length and line.cell_length + BETWEEN + item.cell_length > width:
                lines.append(line)
                line = Content("")
            line = Content.assemble(line, " " * BETWEEN, item) if line.cell_length else item
        return [*lines, line]

    async def on_click(self, event: events.Click) -> None:
        """Do what the key under the pointer does."""
        action = event.style.meta.get("command")
        if action:
            await self.run_action(action)


def _item(key: str, label: str, action: str) -> Content:
    item = Content.assemble(words(key, f"bold {ACCENT}"), " ", words(label, QUIET))
    return item.stylize(Style.from_meta({"command": action}))


def _click(command: Command) -> str:
    place = "app" if command.context == EVERYWHERE else "screen"
    return f"{place}.{command.handler}" if "(" in command.handler else f"{place}.{command.handler}()"


class StatusLine(Lines):
    """Says what was done last and by which key it is undone; empty until something was done, at most two lines."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._sentence: Sequence[str | Secret] = ()
        self._undoable = False
        self._undo_key = ""

    def say(self, *sentence: str | Secret, undoable: bool = False) -> None:
        """Say a sentence, which may be put together from plain text and secrets."""
        self._sentence, self._undoable = sentence, undoable
        self.draw_anew()

    def show_undo_key(self, key: str) -> None:
        """Name the key that undoes now, in a person's words; none while no key does."""
        if key != self._undo_key:
            self._undo_key = key
            if self._undoable:
                self.draw_anew()

    @property
    def text(self) -> str:
        """All that is said, as it may stand on the screen now."""
        return with_tags_shown("".join(self.shown(part) for part in self._sentence).strip()) + self._undo

    @property
    def _undo(self) -> str:
        return f"  {self._undo_key}: undo." if self._undoable and self._undo_key else ""

    def build(self, width: int) -> list[Content]:
        """Return the lines; where they are too few, the sentence is cut and never the key that undoes it."""
        lines = wrap(self.text, width)
        if len(lines) > MOST_LINES:
            undo = self._undo
            rest = " ".join(lines[MOST_LINES - 1 :]).removesuffix(undo)
            lines = [*lines[: MOST_LINES - 1], cut(rest, width - len(undo)) + undo]
        return [words(line) for line in lines]
