"""The narrow list beside a round: where one is, what is done, what is still to come."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from textual.content import Content
from textual.geometry import Size

from breakdesk.tui.masking import Secret
from breakdesk.tui.widgets.cells import cut
from breakdesk.tui.widgets.lines import ACCENT, QUIET, STRONG, Lines, words


class Step(StrEnum):
    """How far one item of a round is; the value is the sign before it."""

    OPEN = " "
    DONE = "✔"
    PARKED = "–"


@dataclass(frozen=True, slots=True)
class StripItem:
    """One item of a round, in a few words."""

    label: str | Secret
    step: Step = Step.OPEN


class RoundStrip(Lines):
    """Shows "3 of 12", how many are left, and the items around the one that is open."""

    def __init__(self, items: Iterable[StripItem] = (), position: int = 0, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._items = tuple(items)
        self._position = position

    def show(self, items: Iterable[StripItem], position: int) -> None:
        """Show other items, the one at `position` (from 0) being open."""
        self._items = tuple(items)
        self._position = position
        self.draw_anew()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Take the height that is there."""
        return container.height

    def build(self, width: int) -> list[Content]:
        """Return the count, what is left, and as many items as there is room for."""
        count = len(self._items)
        if not count:
            return [words(cut("Nothing here", width), QUIET)]
        left = sum(item.step is Step.OPEN for item in self._items)
        head = [
            words(cut(f"{self._position + 1} of {count}", width), STRONG),
            words(cut(f"{left} left" if left else "all done", width), QUIET),
            Content(""),
        ]
        room = max(1, self.content_size.height - len(head))
        first = max(0, min(self._position - room // 3, count - room))
        return head + [self._item(index, width) for index in range(first, min(count, first + room))]

    def _item(self, index: int, width: int) -> Content:
        item = self._items[index]
        here = index == self._position
        sign = "▸" if here else item.step.value
        label = cut(self.shown(item.label), max(1, width - 2))
        style = f"bold {ACCENT}" if here else QUIET if item.step is not Step.OPEN else ""
        return words(f"{sign} {label}", style)
