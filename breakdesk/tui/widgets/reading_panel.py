"""What a line was read as: labelled fields, every doubt with its word, and the other readings."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.content import Content
from textual.geometry import Size

from breakdesk.tui.masking import Secret
from breakdesk.tui.widgets.cells import cut, fit, wrap
from breakdesk.tui.widgets.changing_lines import ChangingLines
from breakdesk.tui.widgets.lines import ACCENT, QUIET, STRONG, spaces, width_of, words

LABEL = 10
TWO_COLUMNS = 70
"""Cells from which on the fields stand in two columns."""
LOW, TWO_COLUMNS_OF_A_LOW_ONE = 6, 50
"""Rows below which the panel is low, and the cells from which on its fields stand in two columns."""
GAP = 2


@dataclass(frozen=True, slots=True)
class Shown:
    """One field: its label, its text, and a word or two of certainty or origin behind it."""

    label: str
    text: str | Secret
    mark: str = ""
    """`?` where it is unsure, `~` where it is only likely; read aloud by `remark`."""
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Doubted:
    """A visible word and its sentence."""

    word: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Page:
    """What the panel shows."""

    fields: Sequence[Shown] = ()
    doubts: Sequence[Doubted] = ()
    others: Sequence[str | Secret] = ()
    """Other readings in a line each."""
    sentence: str | Secret = ""
    """What stands first where there are no fields."""
    hint: str = ""


class ReadingPanel(ChangingLines):
    """Draws a page in the height that it has; it is painted once for every key and never moves anything."""

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._page = Page()

    @property
    def page(self) -> Page:
        """What is shown."""
        return self._page

    def show(self, page: Page) -> None:
        """Show another page."""
        if page != self._page:
            self._page = page
            self.change()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Take the height that is there."""
        return container.height

    def build(self, width: int) -> list[Content]:
        """Return what fits: fields and doubts first, then the other readings."""
        page, room = self._page, max(1, self.content_size.height)
        lines: list[Content] = []
        if page.sentence:
            lines += [words(line, STRONG) for line in wrap(self.shown(page.sentence), width)]
        fields = self._fields(width)
        doubts = [line for doubt in page.doubts for line in self._doubt(doubt, width)]
        hint = [words(line, f"bold {ACCENT}") for line in wrap(page.hint, width)] if page.hint else []
        # However little room there is, a doubt keeps its word and the hint its line: fields give way.
        lines += fields[: max(1, room - len(hint) - bool(doubts))]
        left = room - len(lines) - len(hint)
        if len(doubts) > left:
            doubts = self._short_doubts(max(1, left), width)
        lines += [*doubts, *hint]
        left = room - len(lines)
        if left > 1 and lines and page.others:
            lines.append(Content(""))
            left -= 1
        lines += [words(cut(self.shown(other), width), QUIET) for other in page.others[: max(0, left)]]
        return lines[:room]

    def _fields(self, width: int) -> list[Content]:
        fields = self._page.fields
        if width < (TWO_COLUMNS if self.content_size.height >= LOW else TWO_COLUMNS_OF_A_LOW_ONE):
            return [self._field(field, width) for field in fields]
        half = (width - GAP) * 4 // 7
        rows = (len(fields) + 1) // 2
        lines: list[Content] = []
        for row in range(rows):
            left = self._field(fields[row], half)
            if row + rows < len(fields):
                left = Content.assemble(
                    left, spaces(half - left.cell_length + GAP), self._field(fields[row + rows], width - half - GAP)
                )
            lines.append(left)
        return lines

    def _field(self, field: Shown, width: int) -> Content:
        mark = f"{field.mark} " if field.mark else ""
        remark = f" {field.remark}" if field.remark else ""
        if mark and width_of(self.shown(field.text)) + width_of(mark + remark) + LABEL + 1 > width:
            # The mark alone says as much where the text needs the room.
            remark = ""
        room = max(1, width - LABEL - 1 - width_of(remark) - width_of(mark))
        doubtful = field.mark == "?"
        return Content.assemble(
            words(fit(field.label, LABEL), QUIET),
            " ",
            words(mark, ACCENT),
            words(cut(self.shown(field.text), room), ACCENT if doubtful else STRONG),
            words(remark, ACCENT if doubtful else QUIET),
        )

    def _doubt(self, doubt: Doubted, width: int) -> list[Content]:
        badge = f" {doubt.word} "
        first, *rest = wrap(doubt.sentence, max(1, width - width_of(badge) - 1))
        lines = [Content.assemble(words(badge, self.badge), " ", words(first))]
        return lines + [Content.assemble(spaces(width_of(badge) + 1), words(line)) for line in rest]

    def _short_doubts(self, room: int, width: int) -> list[Content]:
        """Every doubt keeps its word, whatever the room; its sentence is cut before it."""
        doubts = self._page.doubts
        if len(doubts) <= room:
            return [self._doubt_line(doubt, width) for doubt in doubts]
        kept = doubts[: room - 1]
        badges: list[Content | str] = []
        for doubt in doubts[room - 1 :]:
            badges += [words(f" {doubt.word} ", self.badge), " "]
        return [*(self._doubt_line(doubt, width) for doubt in kept), Content.assemble(*badges)]

    def _doubt_line(self, doubt: Doubted, width: int) -> Content:
        badge = f" {doubt.word} "
        sentence = cut(doubt.sentence, max(1, width - width_of(badge) - 1))
        return Content.assemble(words(badge, self.badge), " ", words(sentence))
