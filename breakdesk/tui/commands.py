"""Commands as data: the one source of key, label, tooltip, palette entry, help and footer.

A screen registers its commands under its *context*, a short word of its own. The *chain* of a screen is what its
keys can reach: its own commands, then those that work everywhere. This module knows no Textual, so that a page of
documentation can be written from it without a screen.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

EVERYWHERE = "everywhere"
"""The context of the commands that work on every screen."""

DIALOG = "dialog"
"""The context of the keys that every dialog has."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Command:
    """One thing that a person can do, and how to reach it."""

    id: str
    """Unique, `context.name`; a settings file rebinds keys by it."""
    keys: tuple[str, ...]
    """Keys in Textual's names, the one shown first; none means that only the palette reaches it."""
    label: str
    """One to three words for the footer."""
    tooltip: str
    """One whole sentence for help and palette."""
    context: str
    """Where it works: a screen's word, or `EVERYWHERE`."""
    action: str = ""
    """The action to run where it is not the last part of the id."""
    footer: bool = True
    """Whether it is one of the few keys always in sight."""
    over_dialogs: bool = False
    """Whether its key works even while a dialog is open or a field has the cursor."""

    @property
    def handler(self) -> str:
        """The Textual action: `action_<handler>` stands on the screen, or on the app for commands of everywhere."""
        return self.action or self.id.rpartition(".")[2].replace("-", "_")


class Registry:
    """All commands by context, in the order in which they were added."""

    def __init__(self) -> None:
        self._by_id: dict[str, Command] = {}

    def add(self, *commands: Command) -> tuple[Command, ...]:
        """Take commands in and return them.

        Raises:
            ValueError: another command has the same id.
        """
        for command in commands:
            known = self._by_id.setdefault(command.id, command)
            if known != command:
                raise ValueError(f"two commands are called {command.id}")
        return commands

    def of(self, context: str) -> tuple[Command, ...]:
        """Return the commands of one context."""
        return tuple(command for command in self._by_id.values() if command.context == context)

    def chain(self, context: str) -> tuple[Command, ...]:
        """Return what the keys of a screen or dialog can reach, its own commands first.

        A dialog's context is `DIALOG`, or begins with it and a point; below a dialog only the commands that work
        over dialogs are reached.
        """
        if context.partition(".")[0] == DIALOG:
            shared = [*self.of(DIALOG), *(command for command in self.of(EVERYWHERE) if command.over_dialogs)]
        else:
            shared = [*self.of(EVERYWHERE)]
        return tuple(dict.fromkeys([*self.of(context), *shared]))

    def contexts(self) -> tuple[str, ...]:
        """Return all contexts in the order in which they were first used."""
        return tuple(dict.fromkeys(command.context for command in self._by_id.values()))

    def all(self) -> tuple[Command, ...]:
        """Return every command."""
        return tuple(self._by_id.values())


REGISTRY = Registry()
"""The registry of the program."""

FIELD_KEYS = frozenset(
    (
        "left",
        "right",
        "up",
        "down",
        "home",
        "end",
        "pageup",
        "pagedown",
        "backspace",
        "delete",
        "enter",
        "tab",
        "shift+tab",
        "ctrl+left",
        "ctrl+right",
        "shift+left",
        "shift+right",
        "shift+up",
        "shift+down",
        "shift+home",
        "shift+end",
        "ctrl+shift+left",
        "ctrl+shift+right",
        "ctrl+backspace",
        "alt+backspace",
        "super+backspace",
        "alt+delete",
        "ctrl+a",
        "ctrl+c",
        "ctrl+d",
        "ctrl+e",
        "ctrl+k",
        "ctrl+u",
        "ctrl+v",
        "ctrl+w",
        "ctrl+x",
        "ctrl+y",
        "ctrl+z",
        "ctrl+shift+a",
        "ctrl+shift+k",
        "super+c",
        "super+x",
        "super+y",
        "super+z",
    )
)
"""Keys that a field to type in, or a list, uses itself; a test compares them with Textual's own bindings."""

TERMINAL_KEYS = frozenset(("ctrl+h", "ctrl+i", "ctrl+m", "ctrl+j", "ctrl+q", "ctrl+s", "ctrl+z", "ctrl+enter", "f11"))
"""Keys that terminals, editors or systems keep or confuse: a command may have one only as a second key."""


def key_problems(chain: Iterable[Command]) -> list[str]:
    """Return, in words, what is wrong with the keys of one chain; nothing wrong is an empty list."""
    problems: list[str] = []
    owner: dict[str, Command] = {}
    for command in chain:
        for key in command.keys:
            other = owner.setdefault(key, command)
            if other is not command:
                problems.append(f"{key} belongs to {other.id} and to {command.id}")
            if key in FIELD_KEYS:
                problems.append(f"{key} of {command.id} belongs to fields and lists")
        if command.keys and TERMINAL_KEYS.issuperset(command.keys):
            problems.append(f"{command.id} can only be reached by keys that a terminal may keep")
    return problems


def rebound_problems(registry: Registry, rebound: Mapping[str, str]) -> list[str]:
    """Return, in words, what is wrong with keys that a settings file gives to command ids; each has one key."""
    known = {command.id for command in registry.all()}
    problems = [f"there is no command called {name}" for name in rebound if name not in known]
    for context in registry.contexts():
        chain = (
            replace(command, keys=(rebound[command.id],)) if command.id in rebound else command
            for command in registry.chain(context)
        )
        problems += key_problems(chain)
    return list(dict.fromkeys(problems))


_KEY_WORDS = {
    "question_mark": "?",
    "slash": "/",
    "full_stop": ".",
    "comma": ",",
    "plus": "+",
    "minus": "-",
    "space": "Space",
    "escape": "Esc",
    "enter": "Enter",
    "tab": "Tab",
    "pageup": "PgUp",
    "pagedown": "PgDn",
    "home": "Home",
    "end": "End",
    "up": "Up",
    "down": "Down",
    "delete": "Del",
}


def key_words(key: str) -> str:
    """Return a key as people write it: `f2` is F2, `question_mark` is ?, `ctrl+p` is Ctrl+P, a letter is itself."""
    *held, last = key.split("+")
    word = _KEY_WORDS.get(last, last)
    if (last.startswith("f") and last[1:].isdigit()) or held:
        word = word.upper() if len(word) <= 3 else word
    return "+".join([*(part.capitalize() for part in held), word])
