"""Commands as data: the one source of key, label, tooltip, palette entry, help and footer.

A screen registers its commands under its *context*, a short word of its own. The *chain* of a screen is what its
keys can reach: its own commands, then those that work everywhere. This module knows no Textual, so that a page of
documentation can be written from it without a screen.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

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


REGISTRY.add(
    Command(
        id="everywhere.help",
        keys=("f1", "question_mark"),
        label="Help",
        tooltip="Tell what this screen is and what can be done here.",
        context=EVERYWHERE,
    ),
    Command(
        id="everywhere.today",
        keys=("f2",),
        label="Today",
        tooltip="Go to what is due today.",
        context=EVERYWHERE,
        action="go('today')",
    ),
    Command(
        id="everywhere.catch",
        keys=("f3",),
        label="Catch",
        tooltip="Go to the running break and write claims down.",
        context=EVERYWHERE,
        action="go('catch')",
    ),
    Command(
        id="everywhere.owed",
        keys=("f4",),
        label="Owed",
        tooltip="Go to everything that is owed, by age, maker and person.",
        context=EVERYWHERE,
        action="go('owed')",
    ),
    Command(
        id="everywhere.search",
        keys=("f5",),
        label="Search",
        tooltip="Find a person, a claim, a card or a break.",
        context=EVERYWHERE,
        action="go('search')",
    ),
    Command(
        id="everywhere.parcels",
        keys=("f6",),
        label="Parcels",
        tooltip="Go to the cards that came in and the parcels that go out.",
        context=EVERYWHERE,
        action="go('parcels')",
        footer=False,
    ),
    Command(
        id="everywhere.outlook",
        keys=("f7",),
        label="Outlook",
        tooltip="Go to how long makers take and when cards may come.",
        context=EVERYWHERE,
        action="go('outlook')",
        footer=False,
    ),
    Command(
        id="everywhere.settings",
        keys=("f8",),
        label="Settings",
        tooltip="Change the house, its makers, its terms and the look.",
        context=EVERYWHERE,
        action="go('settings')",
        footer=False,
    ),
    Command(
        id="everywhere.on-air",
        keys=("f9",),
        label="On/off air",
        tooltip="Hide codes, addresses and names at once, or show them again after a question.",
        context=EVERYWHERE,
        action="switch_air",
        over_dialogs=True,
    ),
    Command(
        id="everywhere.back",
        keys=("escape",),
        label="Back",
        tooltip="Leave this screen and go back to the one before.",
        context=EVERYWHERE,
        footer=False,
    ),
    Command(
        id="everywhere.palette",
        keys=("ctrl+p",),
        label="All commands",
        tooltip="Find any command by a word of its name.",
        context=EVERYWHERE,
        action="command_palette",
        footer=False,
    ),
    Command(
        id="everywhere.quit",
        keys=("f10", "ctrl+q"),
        label="Leave",
        tooltip="Leave Breakdesk; everything saved stays saved.",
        context=EVERYWHERE,
        footer=False,
    ),
)
