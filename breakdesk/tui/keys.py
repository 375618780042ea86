"""Commands of the registry as Textual's bindings, and as entries of the palette."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from typing import TYPE_CHECKING, cast

from textual.binding import Binding, BindingType
from textual.command import DiscoveryHit, Hit, Hits, Provider
from textual.content import Content

from breakdesk.tui.commands import EVERYWHERE, Command, key_words

if TYPE_CHECKING:
    from breakdesk.tui.base import DeskApp
    from breakdesk.tui.desk_screen import DeskScreen


def bindings(commands: Iterable[Command]) -> list[BindingType]:
    """Return the bindings of commands; each carries the command's id, so that a settings file can rebind it."""
    return [
        Binding(
            ",".join(command.keys),
            command.handler,
            command.label,
            show=command.footer,
            tooltip=command.tooltip,
            priority=command.over_dialogs,
            id=command.id,
        )
        for command in commands
        if command.keys
    ]


def keys_in_sight(commands: Iterable[Command], rebound: Mapping[str, str], *, typing: bool) -> list[Command]:
    """Return the commands for the foot of a screen; while a field has the cursor, none whose key would go into it.

    The way out of the field stands first then, since the letters work again after it.
    """
    here = tuple(commands)
    in_sight = [command for command in here if command.footer]
    if not typing:
        return in_sight
    working = [command for command in in_sight if not _is_letter(command, rebound)]
    if working == in_sight:
        return in_sight
    return [*(command for command in here if command.id == "everywhere.back"), *working]


def enter_command(label: str) -> Command:
    """Return what Enter does here, for the keys in sight; the key itself belongs to the list or the field."""
    return Command(
        id="list.enter",
        keys=("enter",),
        label=label,
        tooltip="Take what is marked.",
        context="list",
        action="press_enter",
    )


def undo_key(commands: Iterable[Command], rebound: Mapping[str, str], *, typing: bool) -> str:
    """Return the key that undoes here, as people write it; while a field has the cursor one that works there too."""
    for command in commands:
        if command.handler == "undo":
            keys = (rebound[command.id],) if command.id in rebound else command.keys
            return next((key_words(key) for key in keys if not (typing and len(key) == 1)), "")
    return ""


def _is_letter(command: Command, rebound: Mapping[str, str]) -> bool:
    return bool(command.keys) and len(rebound.get(command.id, command.keys[0])) == 1


class DeskCommands(Provider):
    """Gives the palette every command of the screen that is open, and those of everywhere."""

    @property
    def _commands(self) -> tuple[Command, ...]:
        return cast("DeskApp", self.app).commands_here(self.screen)

    async def discover(self) -> Hits:
        """Give all commands before anything is typed."""
        for command in self._commands:
            yield DiscoveryHit(self._words(command), partial(self._run, command), help=command.tooltip)

    async def search(self, query: str) -> Hits:
        """Give the commands whose words match."""
        matcher = self.matcher(query)
        for command in self._commands:
            text = self._words(command)
            score = max(matcher.match(text), matcher.match(command.tooltip))
            if score > 0:
                yield Hit(score, Content(text), partial(self._run, command), help=command.tooltip)

    def _words(self, command: Command) -> str:
        key = cast("DeskApp", self.app).rebound.get(command.id, *command.keys[:1])
        return f"{command.label}  ({key_words(key)})" if key else command.label

    async def _run(self, command: Command) -> None:
        namespace = self.app if command.context == EVERYWHERE else cast("DeskScreen", self.screen)
        await self.app.run_action(command.handler, namespace)
