"""Matching somebody's columns with ours before a spreadsheet is loaded."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Final, cast

from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Vertical

from breakdesk.desk.column_maps import first_look, keep_map, kept_map, kept_maps
from breakdesk.desk.problems import Problem
from breakdesk.files.column_map import ColumnMap, DateOrder, with_column
from breakdesk.files.headers import Kind, columns_of, read_header_as
from breakdesk.files.sketching import Sketch
from breakdesk.tui import masking
from breakdesk.tui.choices import Choice
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import AskText, Paragraph, Pick
from breakdesk.tui.keys import bindings
from breakdesk.tui.load_words import KIND_WORDS, SECRET_COLUMNS
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

COMMANDS = REGISTRY.add(
    Command(
        id="load-columns.kind",
        keys=("k",),
        label="What it is",
        tooltip="Say what the rows of this table are: claims, spots, participants and so on.",
        context="load-columns",
    ),
    Command(
        id="load-columns.dates",
        keys=("f",),
        label="Dates",
        tooltip="Say how a date such as 3/4/2026 is meant: refused, month first or day first.",
        context="load-columns",
    ),
    Command(
        id="load-columns.keep",
        keys=("s",),
        label="Keep",
        tooltip="Keep this match of columns under a name, for the next such spreadsheet.",
        context="load-columns",
    ),
    Command(
        id="load-columns.use",
        keys=("u",),
        label="Use kept",
        tooltip="Take a match of columns that was kept.",
        context="load-columns",
    ),
)

LEFT_OUT: Final = "left out"
DATE_WORDS: Final = {
    DateOrder.ASK: "refused, since it can be read in two ways",
    DateOrder.MONTH_FIRST: "month first: 4 March",
    DateOrder.DAY_FIRST: "day first: 3 April",
}


class ColumnsScreen(DeskScreen):
    """Shows the columns of a spreadsheet beside ours; its answer is the match, or None where nothing was changed."""

    TITLE_WORDS = "Columns"
    ABOUT = (
        "Your columns stand on the left with a few of their cells, and what each is taken for on the right. Enter "
        "changes what the column under the cursor means, or leaves it out. Escape goes back and checks the file anew. "
        "A match that is kept under a name serves for the next spreadsheet with the same headings."
    )
    CONTEXT = "load-columns"
    ENTER_WORDS = "Correct"
    BINDINGS = [*bindings(COMMANDS), Binding("escape", "leave", "Back", show=False)]

    def __init__(self, path: Path, column_map: ColumnMap | None) -> None:
        """Make the screen for one file."""
        super().__init__()
        self._path = path
        self._map = column_map
        self._sketch: Sketch | None = None
        self._changed = False

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out what the table is above its columns."""
        yield Paragraph("", id="columns-said")
        with Vertical():
            yield LongList(
                [
                    Column(title="Your column", width=14, stretch=2),
                    Column(title="Taken for", width=14, stretch=1),
                    Column(title="Some of its cells", width=24, stretch=4, quiet=True),
                ],
                id="columns-list",
            )

    def on_mount(self) -> None:
        """Look at the file."""
        self.read_anew(self._look, "look at a spreadsheet")

    async def _look(self) -> None:
        found = await self.desk.call(first_look, self._path, self._map)
        if isinstance(found, Problem):
            self.query_one("#columns-said", Paragraph).show(found.sentence)
            return
        self._sketch = found
        if self._map is None:
            self._map = found.column_map
        self._show()
        self.query_one(LongList).focus()

    def _show(self) -> None:
        found, matched = self._sketch, self._map
        if found is None or matched is None:
            return
        rows = []
        for key, heading, samples in zip(found.keys, found.headings, found.samples, strict=True):
            column = matched.columns.get(key)
            cells = " · ".join(samples)
            hidden = column is None or column in SECRET_COLUMNS
            tone = "quiet" if column is None else "plain"
            rows.append(
                Row(key, (heading or "no heading", column or LEFT_OUT, masking.note(cells) if hidden else cells), tone)
            )
        listed = self.query_one(LongList)
        listed.show(lambda offset, limit: rows[offset : offset + limit], len(rows), cursor=listed.cursor)
        used = sum(column is not None for column in matched.columns.values())
        kind = KIND_WORDS[matched.kind].lower()
        said = f"{found.file}: {kind}, {used} of {len(found.headings)} columns are taken. "
        self.query_one("#columns-said", Paragraph).show(
            f"{said}A date such as 3/4/2026 is {DATE_WORDS[matched.dates]}."
        )

    def _take(self, column_map: ColumnMap) -> None:
        self._map = column_map
        self._changed = True
        self._show()

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Ask what a column means."""
        if self._map is None or self._sketch is None:
            return
        key, matched = str(event.row.key), self._map
        headings = dict(zip(self._sketch.keys, self._sketch.headings, strict=True))
        taken = {column: headings.get(other, other) for other, column in matched.columns.items() if column is not None}
        now = matched.columns.get(key)
        choices = [Choice("", LEFT_OUT, "" if now else "as it is now")]
        for column in columns_of(matched.kind):
            other = "as it is now" if column == now else f"now: {taken[column]}" if column in taken else ""
            choices.append(Choice(column, column, other))

        def picked(column: str | None) -> None:
            if column is not None:
                self._take(with_column(matched, key, column or None))

        self.app.push_screen(Pick(f"What is “{headings[key] or 'no heading'}”?", choices, marked=now or ""), picked)

    def action_kind(self) -> None:
        """Ask what the rows are."""

        def picked(kind: str | None) -> None:
            if kind is not None and self._sketch is not None and self._map is not None:
                guess = read_header_as(Kind(kind), self._sketch.headings)
                columns = dict(zip(self._sketch.keys, guess.columns, strict=True))
                self._take(ColumnMap(kind=Kind(kind), columns=columns, dates=self._map.dates))

        choices = [Choice(kind.value, KIND_WORDS[kind]) for kind in reversed(Kind)]
        self.app.push_screen(Pick("What is in the rows of this table?", choices), picked)

    def action_dates(self) -> None:
        """Ask how dates are meant."""

        def picked(order: str | None) -> None:
            if order is not None and self._map is not None:
                self._take(replace(self._map, dates=DateOrder(order)))

        choices = [Choice(order.value, words[:1].upper() + words[1:]) for order, words in DATE_WORDS.items()]
        explained = "What can be read in one way only, such as 13/4/2026, 4 Mar 2026 or 2026-03-04, is read so anyway."
        self.app.push_screen(Pick("How is a date such as 3/4/2026 meant?", choices, explained), picked)

    def action_keep(self) -> None:
        """Ask for a name and keep the match."""

        async def named(name: str | None) -> None:
            if name and self._map is not None:
                done = await self.desk.call(keep_map, name, self._map)
                self.say(done.sentence if isinstance(done, Problem) else done.said)

        explained = "It stands in the desk's folder, for everybody who works with this desk."
        self.app.push_screen(AskText("Under which name?", explained), named)

    async def action_use(self) -> None:
        """Offer the kept matches."""
        names = await self.desk.call(kept_maps)
        if not names:
            self.say("No match of columns is kept yet; s keeps this one.")
            return

        async def picked(name: str | None) -> None:
            if name is None:
                return
            kept = await self.desk.call(kept_map, name)
            if isinstance(kept, Problem):
                self.say(kept.sentence)
                return
            self._changed = True
            self._map = kept
            await self._look()

        self.app.push_screen(Pick("Which match of columns?", [Choice(name, name) for name in names]), picked)

    async def action_leave(self) -> None:
        """Go back with the match, where something was changed."""
        self.dismiss(self._map if self._changed else None)
