"""Lines in a height that never changes: of another text only the lines that differ are drawn again."""

from __future__ import annotations

from typing import Self

from rich.segment import Segment
from rich.style import Style as Colours
from textual.content import Content
from textual.geometry import Region, Size
from textual.strip import Strip
from textual.style import Style

from breakdesk.tui.widgets.lines import Lines


class ChangingLines(Lines):
    """Draws line by line, so that a key press costs what it changes and not what is in sight."""

    ALLOW_SELECT = False

    def __init__(self, *, id: str | None = None) -> None:
        super().__init__(id=id)
        self._built: list[Content] = []
        self._built_for: Size | None = None
        self._drawn: dict[int, Strip] = {}
        self._colours: dict[Style, Colours] = {}

    def change(self) -> None:
        """Build the lines anew and draw those that differ from what stands there."""
        if self._built_for != self.size or not self.size:
            self.refresh()
            return
        before, self._built = self._built, self.build(self.size.width)
        shorter = min(len(before), len(self._built))
        changed = [place for place in range(shorter) if not before[place].is_same(self._built[place])]
        changed += range(shorter, max(len(before), len(self._built)))
        for place in changed:
            self._drawn.pop(place, None)
        if changed:
            self.refresh(*(Region(0, place, self.size.width, 1) for place in changed))

    def refresh(self, *regions: Region, repaint: bool = True, layout: bool = False, recompose: bool = False) -> Self:
        """Forget every line where no region is named: the air, the theme or the size may be another."""
        if not regions:
            self._built_for = None
        return super().refresh(*regions, repaint=repaint, layout=layout, recompose=recompose)

    def notify_style_update(self) -> None:
        """Forget every line: it holds the colours of the theme before."""
        self._built_for = None
        super().notify_style_update()

    def render_line(self, y: int) -> Strip:
        """Return a line as it was drawn last, where it has not changed since."""
        if self._built_for != self.size:
            self._built_for, self._built = self.size, self.build(max(1, self.size.width))
            self._drawn, self._colours = {}, {}
        if y not in self._drawn:
            line = self._built[y] if y < len(self._built) else Content("")
            self._drawn[y] = self._strip_of(line)
        return self._drawn[y]

    def _strip_of(self, line: Content) -> Strip:
        # Nothing of a line is wrapped, aligned or selected, which is what drawing a text costs most for.
        parts = line.render(self.visual_style, end="", parse_style=self._get_style)
        strip = Strip([Segment(text, self._colours_of(style)) for text, style in parts], line.cell_length)
        return strip.adjust_cell_length(self.size.width, self._colours_of(self.visual_style))

    def _colours_of(self, style: Style) -> Colours:
        known = self._colours.get(style)
        if known is None:
            known = self._colours[style] = (self.visual_style + style).rich_style
        return known
