"""Choices under each other, as dialogs offer them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from breakdesk.tui.masking import Secret, shown
from breakdesk.tui.widgets.cells import clean, wrap
from breakdesk.tui.widgets.lines import STRONG, words

if TYPE_CHECKING:
    from breakdesk.tui.base import DeskApp

UNMEASURED = 10_000
"""Cells to wrap at before the list has a place on the screen."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several things to pick from."""

    id: str
    label: str | Secret
    detail: str | Secret = ""


class Choices(OptionList):
    """Choices under each other; their words follow the air and are never parsed as markup."""

    def __init__(self, choices: Sequence[Choice], *, id: str | None = None) -> None:
        super().__init__(id=id, markup=False)
        self._choices = tuple(choices)
        self._wrapped_at = 0

    def on_mount(self) -> None:
        """Fill in, and follow the air."""
        self.watch(self.app, "on_air", self._fill, init=False)
        self._fill()

    def on_resize(self) -> None:
        """Wrap anew where the width is another one."""
        if self._text_width() != self._wrapped_at:
            self._show_lines()

    def show(self, choices: Sequence[Choice]) -> None:
        """Offer other choices."""
        self._choices = tuple(choices)
        self._fill()

    def _fill(self) -> None:
        place = self.highlighted or 0
        self.clear_options()
        self.add_options(Option(self._line(choice, here=False), id=choice.id) for choice in self._choices)
        self.highlighted = min(place, len(self._choices) - 1) if self._choices else None

    def watch_highlighted(self, highlighted: int | None) -> None:
        """Mark the line by a sign as well as by its ground."""
        super().watch_highlighted(highlighted)
        self._show_lines()

    def _show_lines(self) -> None:
        self._wrapped_at = self._text_width()
        for index, choice in enumerate(self._choices[: self.option_count]):
            self.replace_option_prompt_at_index(index, self._line(choice, here=index == self.highlighted))

    def _text_width(self) -> int:
        around = self.get_component_styles("option-list--option").padding.width
        return max(0, self.scrollable_content_region.width - around - 2)

    def _line(self, choice: Choice, *, here: bool) -> Content:
        """Return the choice's lines; what follows the first begins under its words, not under its sign."""
        on_air = cast("DeskApp", self.app).on_air
        label = clean(shown(choice.label, on_air=on_air))
        detail = clean(shown(choice.detail, on_air=on_air))
        whole = f"{label}   {detail}" if detail else label
        strong_until = len(label) if detail else 0
        lines: list[Content] = []
        start = 0
        for line in wrap(whole, self._text_width() or UNMEASURED):
            start = whole.index(line, start)
            strong = max(0, strong_until - start)
            sign = "▸ " if here and not lines else "  "
            lines.append(Content.assemble(sign, words(line[:strong], STRONG), words(line[strong:])))
            start += len(line)
        return Content("\n").join(lines)
