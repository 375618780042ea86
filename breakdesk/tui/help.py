"""The help of every screen: what this is, and what one can do here, from the registry of commands."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content

from breakdesk.tui.commands import EVERYWHERE, Command, key_words
from breakdesk.tui.dialogs import Dialog, Paragraph
from breakdesk.tui.widgets.cells import fit, wrap
from breakdesk.tui.widgets.lines import ACCENT, QUIET, STRONG, Lines, spaces, width_of, words

IN_LISTS = (
    ("Up Down", "Move by one; Page Up and Page Down move by what is in sight, Home and End to the ends."),
    ("Enter", "Open or choose what is marked; a double click does the same."),
    ("Tab", "Go to the next part of the screen."),
)
"""What the keys of lists and fields do; they are the same on every screen."""


def help_groups(commands: Iterable[Command], keys: dict[str, str]) -> list[tuple[str, list[tuple[str, str]]]]:
    """Return the groups of a help screen: a heading, then keys and sentences."""
    here: list[tuple[str, str]] = []
    everywhere: list[tuple[str, str]] = []
    for command in commands:
        shown = (keys[command.id],) if command.id in keys else command.keys
        entry = (" ".join(key_words(key) for key in shown) or "–", f"{command.label}: {command.tooltip}")
        (everywhere if command.context == EVERYWHERE else here).append(entry)
    groups = [("Here", here), ("In lists and fields", list(IN_LISTS)), ("Everywhere", everywhere)]
    return [group for group in groups if group[1]]


class KeyTable(Lines):
    """Keys and what they do, in groups."""

    def __init__(self, groups: Sequence[tuple[str, list[tuple[str, str]]]]) -> None:
        super().__init__()
        self._groups = groups

    def build(self, width: int) -> list[Content]:
        """Return the groups under each other, keys and sentences aligned."""
        key_width = max((width_of(key) for _heading, entries in self._groups for key, _ in entries), default=0)
        lines: list[Content] = []
        for heading, entries in self._groups:
            lines += [Content(""), words(heading, QUIET)]
            for key, sentence in entries:
                first, *rest = wrap(sentence, max(10, width - key_width - 2))
                lines.append(Content.assemble(words(fit(key, key_width), f"{STRONG} {ACCENT}"), "  ", words(first)))
                lines += [Content.assemble(spaces(key_width + 2), words(line)) for line in rest]
        return lines


class HelpScreen(Dialog[None]):
    """Tells what a screen or a dialog is and what can be done on it."""

    def __init__(self, title: str, about: str, commands: Iterable[Command], keys: dict[str, str]) -> None:
        super().__init__(title)
        self._about = about
        self._groups = help_groups(commands, keys)

    def compose_body(self) -> ComposeResult:
        """Give the sentences about the screen and the keys."""
        with VerticalScroll(id="dialog-text"):
            yield Paragraph(self._about)
            yield KeyTable(self._groups)

    def action_help(self) -> None:
        """Stay: this is the help."""
