"""An on-air name in letters that can be read from two metres."""

from __future__ import annotations

from textual.content import Content
from textual.geometry import Size

from breakdesk.tui.widgets.cells import clean, cut
from breakdesk.tui.widgets.changing_lines import ChangingLines
from breakdesk.tui.widgets.letters import draw_letters, letters_width, plain_letters
from breakdesk.tui.widgets.lines import ACCENT, QUIET, words

LETTER_ROWS = 4


class BigHandle(ChangingLines):
    """Shows one handle large, with a quiet caption above it.

    Doubt is shown as doubt: the handle stands in quiet letters with a question mark behind it. A name that is too
    long for the width, or has letters that cannot be drawn, stands bold in a frame. Its height never changes.
    """

    def __init__(self, handle: str = "", caption: str = "", *, sure: bool = True, id: str | None = None) -> None:
        super().__init__(id=id)
        self._handle = handle
        self._caption = caption
        self._sure = sure

    def show(self, handle: str, caption: str = "", *, sure: bool = True) -> None:
        """Show another handle; an on-air name, never a full name. An empty one leaves the place empty."""
        if (handle, caption, sure) == (self._handle, self._caption, self._sure):
            return
        self._handle, self._caption, self._sure = handle, caption, sure
        self.change()

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Take the same height for every name, so that nothing below it moves."""
        return LETTER_ROWS + 1

    def build(self, width: int) -> list[Content]:
        """Return the caption and the letters."""
        return [words(cut(self._caption, width), QUIET), *self._letters(width)]

    def _letters(self, width: int) -> list[Content]:
        style = f"bold {ACCENT}" if self._sure else QUIET
        text = clean(self._handle).strip()
        if not text:
            return [Content("")] * LETTER_ROWS
        text = text if self._sure else f"{text} ?"
        drawable = plain_letters(text)
        if drawable is not None and letters_width(drawable) <= width:
            return [words(row, style) for row in draw_letters(drawable)]
        return self._framed(text, style, width)

    @staticmethod
    def _framed(text: str, style: str, width: int) -> list[Content]:
        inside = words(f" {cut(text, max(1, width - 4))} ", style)
        line = "━" * inside.cell_length
        return [
            words(f"┏{line}┓", style),
            Content.assemble(words("┃", style), inside, words("┃", style)),
            words(f"┗{line}┛", style),
            Content(""),
        ]
