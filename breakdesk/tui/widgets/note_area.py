"""Where a person types more than a line."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from rich.text import Text
from textual.binding import Binding, BindingType
from textual.widgets import TextArea

if TYPE_CHECKING:
    from breakdesk.tui.base import DeskApp


def _without_places(bindings: list[BindingType]) -> list[BindingType]:
    return [binding for binding in bindings if isinstance(binding, Binding) and binding.key not in {"f6", "f7"}]


class NoteArea(TextArea, inherit_bindings=False):
    """A small page of text; it leaves the F-keys to the places of the program."""

    BINDINGS = _without_places(TextArea.BINDINGS)


class SecretNoteArea(NoteArea):
    """A page of text full of references or addresses: its letters are dots while the stream can see the screen."""

    def on_mount(self) -> None:
        """Follow the air."""
        self.watch(self.app, "on_air", self._follow_air, init=False)

    def _follow_air(self, _on_air: bool) -> None:
        self._line_cache.clear()
        self.refresh()

    def get_line(self, line_index: int) -> Text:
        """Return a line as it may be seen now."""
        line = super().get_line(line_index)
        if not cast("DeskApp", self.app).on_air:
            return line
        return Text("".join(sign if sign.isspace() else "•" for sign in line.plain), end="")
