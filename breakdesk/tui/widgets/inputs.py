"""Where a person types: one line for secrets, and a small page for notes."""

from __future__ import annotations

from textual.binding import Binding, BindingType
from textual.widgets import Input, TextArea


class SecretInput(Input):
    """A line for a code or an address: its letters are dots while the stream can see the screen."""

    def on_mount(self) -> None:
        """Follow the air."""
        self.watch(self.app, "on_air", self._follow_air)

    def _follow_air(self, on_air: bool) -> None:
        self.password = on_air


def _without_places(bindings: list[BindingType]) -> list[BindingType]:
    return [binding for binding in bindings if isinstance(binding, Binding) and binding.key not in {"f6", "f7"}]


class NoteArea(TextArea, inherit_bindings=False):
    """A small page of text; it leaves the F-keys to the places of the program."""

    BINDINGS = _without_places(TextArea.BINDINGS)
