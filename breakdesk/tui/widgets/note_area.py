"""Where a person types more than a line."""

from __future__ import annotations

from textual.binding import Binding, BindingType
from textual.widgets import TextArea


def _without_places(bindings: list[BindingType]) -> list[BindingType]:
    return [binding for binding in bindings if isinstance(binding, Binding) and binding.key not in {"f6", "f7"}]


class NoteArea(TextArea, inherit_bindings=False):
    """A small page of text; it leaves the F-keys to the places of the program."""

    BINDINGS = _without_places(TextArea.BINDINGS)
