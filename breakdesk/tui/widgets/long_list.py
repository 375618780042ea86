"""A list of any length that asks only for the rows it shows.

The rows come from a *provider*, at once or later, and are kept in pages. Until the rows for a new place have come
the old ones stay in sight, so that nothing flickers; an answer to an outdated question is dropped.
"""

from __future__ import annotations

from collections.abc import Awaitable, Sequence
from dataclasses import dataclass

from rich.style import Style
from textual import events
from textual.binding import Binding
from textual.geometry import Region, Size
from textual.message import Message
from textual.reactive import reactive
from textual.scroll_view import ScrollView
from textual.strip import Strip

from breakdesk.tui.failures import Steady
from breakdesk.tui.masking import Secret
from breakdesk.tui.widgets.cells import wrap
from breakdesk.tui.widgets.columns import Column, Place, share_line
from breakdesk.tui.widgets.row_strips import MARGIN, row_strip, text_strip
from breakdesk.tui.widgets.rows import Pages, Provider, Row, no_rows


class LongList(Steady, ScrollView, can_focus=True):
    """A list with titles, a cursor and aligned columns that fit themselves to the width."""

    ALLOW_SELECT = False
    COMPONENT_CLASSES = {
        "long-list--title",
        "long-list--plain",
        "long-list--quiet",
        "long-list--strong",
        "long-list--cursor",
        "long-list--cursor-away",
    }
    BINDINGS = [
        Binding("up", "move(-1)", "Up", show=False),
        Binding("down", "move(1)", "Down", show=False),
        Binding("pageup", "turn(-1)", "Page up", show=False),
        Binding("pagedown", "turn(1)", "Page down", show=False),
        Binding("home", "go_to(0)", "First", show=False),
        Binding("end", "go_to(-1)", "Last", show=False),
        Binding("enter", "select", "Open", show=False),
    ]

    cursor: reactive[int] = reactive(0, repaint=False)
    """The row that the cursor is on, from 0."""

    @dataclass
    class Moved(Message):
        """The cursor is on another row, or its row has come at last; `row` is None while it has not."""

        long_list: LongList
        index: int
        row: Row | None

        @property
        def control(self) -> LongList:
            """The list that sent it."""
            return self.long_list

    @dataclass
    class Selected(Message):
        """A person chose a row by Enter or a double click."""

        long_list: LongList
        index: int
        row: Row

        @property
        def control(self) -> LongList:
            """The list that sent it."""
            return self.long_list

    def __init__(self, columns: Sequence[Column], *, empty: str = "Nothing here.", id: str | None = None) -> None:
        """Make an empty list; `empty` is the sentence shown where there are no rows."""
        super().__init__(id=id)
        self._columns = tuple(columns)
        self.empty = empty
        self._drawn = Pages(no_rows, 0)
        self._wanted = self._drawn
        self._drawn_top = 0
        self._places: tuple[int, list[Place]] = (-1, [])
        self._filled = True
        self._waits = False
        self._told: tuple[int, Row | None] | None = None

    # What a screen says to the list

    def show(self, provider: Provider, count: int, *, cursor: int | None = None) -> None:
        """Show other rows: `count` of them, asked from the provider as they come into sight.

        The old rows stay until the first new ones have come. The cursor keeps its number unless one is given.
        """
        self._wanted = Pages(provider, count)
        self._filled = False
        if cursor is not None:
            self.cursor = cursor
        self._settle()

    def set_columns(self, columns: Sequence[Column]) -> None:
        """Take other columns; rows with cells for them are to be shown next."""
        self._columns = tuple(columns)
        self._places = (-1, [])

    @property
    def count(self) -> int:
        """How many rows there are."""
        return self._drawn.count

    @property
    def current(self) -> Row | None:
        """The row under the cursor, None where there is none or it has not come yet."""
        return self._drawn.row(self.cursor) if self._drawn.count else None

    def find(self, key: object) -> int | None:
        """The number of the row with a key among those that have come; None where it is not among them."""
        return self._drawn.find(key)

    # Fetching

    @property
    def _body_height(self) -> int:
        return max(1, self.scrollable_content_region.height - 1)

    def _top(self) -> int:
        """Return the first row that should be in sight."""
        highest = max(0, self._wanted.count - self._body_height)
        if self._wanted is self._drawn:
            return min(self.scroll_offset.y, highest)
        cursor = min(self.cursor, max(0, self._wanted.count - 1))
        return max(min(self.scroll_offset.y, cursor, highest), min(highest, cursor - self._body_height + 1))

    def _settle(self) -> None:
        """Draw what is wanted if its rows are here, else ask for them."""
        if not self.is_attached or not self.size:
            return
        top = self._top()
        self._waits = not self._have(top)
        if self._waits:
            return
        changed = self._drawn is not self._wanted
        self._drawn = self._wanted
        self._drawn_top, self._filled = top, True
        if changed:
            self._take_length(self._drawn.count + 1)
            self.set_reactive(LongList.cursor, max(0, min(self.cursor, self._drawn.count - 1)))
            self.scroll_to(y=top, animate=False, force=True)
        self.refresh()
        self._tell()
        # The next page and the one before come while these are being looked at.
        if self._have(min(top + self._body_height, self._drawn.count)):
            self._have(max(0, top - self._body_height))

    def _take_length(self, lines: int) -> None:
        """Be as long as the rows are; where the bar stays as it is, nothing has to be laid out anew."""
        length = Size(0, lines)
        if (lines > self.container_size.height) == self.show_vertical_scrollbar:
            self.set_reactive(LongList.virtual_size, length)
            if self.show_vertical_scrollbar:
                self.vertical_scrollbar.window_virtual_size = lines
        else:
            self.virtual_size = length

    def _have(self, top: int) -> bool:
        """Whether what is wanted from a row on is here; what is not is asked for, and may come later."""
        content = self._wanted
        here, coming = content.fetch(top, self._body_height)
        if coming is not None:
            self.run_worker(self._fill(content, coming), group="rows", description="fetch rows")
        return here

    async def _fill(self, content: Pages, coming: Awaitable[None]) -> None:
        """Draw a page that has come where it was waited for."""
        await coming
        if content is self._wanted and self._waits:
            self._settle()

    def _tell(self) -> None:
        told = (self.cursor, self.current)
        if self._drawn.count and told != self._told:
            self._told = told
            self.post_message(self.Moved(self, *told))

    # Moving

    def validate_cursor(self, cursor: int) -> int:
        """Keep the cursor on the rows."""
        return max(0, min(cursor, self._wanted.count - 1))

    def watch_cursor(self, before: int, now: int) -> None:
        """Bring the cursor into sight; where that takes no scrolling, only the two rows concerned are drawn anew."""
        if self._wanted is not self._drawn:
            return
        in_sight = range(self._drawn_top, self._drawn_top + self._body_height)
        if self._drawn_top == self._top() and all(row in in_sight and self._drawn.row(row) for row in (before, now)):
            self.refresh(self._line_of(before), self._line_of(now))
            self._tell()
            return
        self._follow_cursor()

    def _line_of(self, index: int) -> Region:
        return Region(0, index - self._drawn_top + 1, self.size.width, 1)

    def _follow_cursor(self) -> None:
        height = self._body_height
        top = self.scroll_offset.y
        target = max(min(top, self.cursor), self.cursor - height + 1)
        if target != top:
            self.scroll_to(y=target, animate=False, force=True)
        self._settle()

    def watch_scroll_y(self, old_value: float, new_value: float) -> None:
        """Follow the scroll bar and the wheel."""
        super().watch_scroll_y(old_value, new_value)
        self._settle()

    def on_resize(self) -> None:
        """Keep the cursor in sight."""
        if self._wanted is self._drawn:
            self._follow_cursor()
        self._settle()

    def action_move(self, step: int) -> None:
        """Move the cursor by rows."""
        self.cursor += step

    def action_turn(self, step: int) -> None:
        """Move the cursor by what is in sight."""
        self.cursor += step * max(1, self._body_height - 1)

    def action_go_to(self, index: int) -> None:
        """Move the cursor to a row; -1 is the last."""
        self.cursor = index if index >= 0 else self._wanted.count - 1

    def action_select(self) -> None:
        """Choose the row under the cursor."""
        row = self.current
        if row is not None:
            self.post_message(self.Selected(self, self.cursor, row))

    def on_click(self, event: events.Click) -> None:
        """Move to the clicked row; a double click chooses it."""
        offset = event.get_content_offset(self)
        if offset is None or offset.y < 1 or self._drawn_top + offset.y - 1 >= self._drawn.count:
            return
        self.cursor = self._drawn_top + offset.y - 1
        if event.chain == 2:
            self.action_select()

    # Drawing

    def on_mount(self) -> None:
        """Follow the air."""
        self.watch(self.app, "on_air", self._settle, init=False)

    def on_focus(self) -> None:
        """Show where the keys go."""
        self.refresh()

    on_blur = on_focus

    def render_line(self, y: int) -> Strip:
        """Return one line: the titles, a row, or nothing."""
        width = self.scrollable_content_region.width
        if y == 0:
            return self._strip([column.title for column in self._columns], "title", " ", width)
        if not self._drawn.count:
            sentence = wrap(self.empty, width - MARGIN) if self._filled else []
            return text_strip("".join(sentence[y - 2 : y - 1]) if y > 1 else "", self._style("quiet"), width)
        index = self._drawn_top + y - 1
        row = self._drawn.row(index)
        if row is None or index >= self._drawn.count:
            return text_strip("", self._style("plain"), width)
        if index != self.cursor:
            return self._strip(row.cells, row.tone, " ", width)
        return self._strip(row.cells, "cursor" if self.has_focus else "cursor-away", "▸", width)

    def _strip(self, cells: Sequence[str | Secret], tone: str, sign: str, width: int) -> Strip:
        style = self._style(tone)
        if self._places[0] != width:
            self._places = (width, share_line(self._columns, width - MARGIN))
        return row_strip(
            cells,
            self._columns,
            self._places[1],
            sign=sign,
            style=style,
            quiet=self._style("quiet") if tone == "plain" else style,
            on_air=bool(getattr(self.app, "on_air", True)),
            width=width,
        )

    def _style(self, tone: str) -> Style:
        return self.get_component_rich_style(f"long-list--{tone}")
