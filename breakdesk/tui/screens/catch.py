"""Catch: a claim written down on camera in one line, read while it is typed."""

from __future__ import annotations

import gc

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from breakdesk.desk.breaks import break_state, caught, list_breaks, spot_board
from breakdesk.desk.entering import is_stale, open_table, recent_claims
from breakdesk.desk.places import remembered
from breakdesk.rules.wording import counted
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.screens.catch_board import Board
from breakdesk.tui.screens.catch_breaks import BreakActions
from breakdesk.tui.screens.catch_claims import ClaimActions
from breakdesk.tui.screens.catch_commands import COMMANDS, CONTEXT
from breakdesk.tui.screens.catch_line import LineActions
from breakdesk.tui.screens.catch_seats import PLACE, Seat, seats_from
from breakdesk.tui.screens.catch_words import (
    BoardRow,
    board_rows,
    break_words,
    caught_rows,
    kept_words,
    minute_words,
)
from breakdesk.tui.widgets.big_handle import BigHandle
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.entry_line import EntryLine
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.reading_panel import ReadingPanel

WIDE = 120
"""Cells from which on the spot board stands beside the line."""
TALL, SHORT = 32, 24
"""Rows from which on there is room for more doubts and readings, and below which the last claims would have none."""
CLOCK_SECONDS = 5
KEEP_SECONDS = 0.4
"""How often a half-typed line is kept, by a thread of its own, so that keys never wait for the disk."""


class CatchScreen(LineActions, ClaimActions, BreakActions):
    """The line, what it is read as, the last claims, and the spots."""

    TITLE_WORDS = "Catch"
    ABOUT = (
        "Type what you see on the card in any order: part of the name, a print run such as /25, features, an expiry. "
        "Below stands how it is read and whose it is; what is doubtful has a word. Down and Up take another reading, "
        "Enter saves. Tab goes to the last claims, where letters act on the chosen one."
    )
    CONTEXT = CONTEXT
    TAKES_IN_WHILE_TYPING = True
    BINDINGS = bindings(COMMANDS)
    AUTO_FOCUS = "#entry"

    def __init__(self) -> None:
        super().__init__()
        self._break_line = ""

    def compose_body(self) -> ComposeResult:
        """Lay out the line with its reading and the last claims, the spots beside them."""
        # Each part stands in a box of its own: what lies in other boxes need not be drawn again for a letter.
        with Vertical(id="catch-top"):
            yield Paragraph(id="catch-break", style="$quiet")
            yield EntryLine(placeholder="Type what is on the card", id="entry", max_length=400)
        with Horizontal(id="catch"):
            with Vertical(id="catch-main"):
                with Vertical(id="catch-said"):
                    yield BigHandle(id="catch-owner")
                    yield ReadingPanel(id="catch-reading")
                with Vertical(id="catch-last"):
                    yield LongList(
                        [
                            Column(title="Tag", width=8),
                            Column(title="Card", width=22, stretch=3),
                            Column(title="For", width=14, stretch=2),
                            Column(title="Video", width=8, right=True, quiet=True),
                        ],
                        empty="No claim yet.",
                        id="caught",
                    )
            with Vertical(id="catch-side"):
                yield Board(id="catch-board")

    def on_mount(self) -> None:
        """Sit down where one sat last, and let the clock run."""
        self.set_interval(CLOCK_SECONDS, self.show_break)
        self.set_interval(KEEP_SECONDS, self.keep)
        self.run_worker(self._begin(), group="table", description="open the break")

    def on_resize(self, event: events.Resize) -> None:
        """Show the board beside the line where there is room."""
        self.set_class(event.size.width >= WIDE, "wide")
        self.set_class(event.size.height >= TALL, "tall")
        self.set_class(event.size.height < SHORT, "short")

    def on_screen_resume(self) -> None:
        """Read the night anew: something may have been done elsewhere."""
        if self.seat is not None and self.seat.table is not None:
            self.run_worker(self.refresh_night(), group="night", exclusive=True, description="read the night")

    # Sitting down

    async def _begin(self) -> None:
        self.seats, at, sat = seats_from(await self.desk.call(remembered, PLACE))
        running = [item.id for item in await self.desk.call(lambda _desk: list_breaks(20)) if item.running]
        if at in running or (sat and at is None and not running):
            await self.sit(at)
        elif running:
            await self.sit(running[0])
        else:
            self.show_rest()

    async def sit(self, break_id: int | None, *, anew: bool = False) -> None:
        """Sit down at a break; its words are read off the key path."""
        typed, before = self.query_one(EntryLine).value, self.seat
        if before is not None:
            before.line = "" if self.holds_code(typed) else typed
        seat = self.seats.take(break_id)
        # Whoever types before the first break is open types for it.
        self.take_up(typed if before is None else seat.line)
        if seat.table is None or anew:
            await self._open_table(seat)
        if self.seat is seat:
            await self.refresh_night()
            self.show_rest()
            self.read()
            if seat.dropped and not seat.line:
                self.say(f"Half typed when it was left: {seat.dropped}  Up brings it back.")
            self.keep()

    async def _open_table(self, seat: Seat) -> None:
        seat.table = await self.desk.call(open_table, seat.break_id, seat.table)
        # A checklist is many objects, and a search for unreachable ones would hold a key up to walk them all.
        gc.freeze()
        self.forget_reading()

    async def refresh_night(self) -> None:
        """Read and show the break, its last claims and its spots."""
        seat = self.seat
        if seat is None:
            return
        break_id = seat.break_id
        self.state = None if break_id is None else await self.desk.call(break_state, break_id)
        self.caught = await self.desk.call(caught, break_id)
        if seat.table is not None and await self.desk.call(is_stale, seat.table):
            await self._open_table(seat)
            self.read()
        elif seat.table is not None:
            seat.table = seat.table.with_recent(await self.desk.call(recent_claims, break_id))
        rows = caught_rows(self.caught, self.desk.house.name)
        self.query_one("#caught", LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        self.query_one("#catch-board", Board).show([] if break_id is None else await self.board())
        self.show_break()

    async def board(self) -> list[BoardRow]:
        """Read the spots of the break."""
        seat = self.seat
        if seat is None or seat.break_id is None:
            return []
        return board_rows(await self.desk.call(spot_board, seat.break_id))

    def show_break(self) -> None:
        """Show how the break stands, where that changed."""
        seat = self.seat
        parts = [break_words(self.state, None if seat is None else seat.table)]
        if seat is not None:
            # What is kept decides what is saved next: it must not be what a narrow screen cuts off.
            parts += [kept_words(seat.kept, seat.table)]
        if self.state is not None:
            running = minute_words(self.state.stream_seconds(self.now()))
            parts += [counted(self.state.claims, "claim"), f"{running} on the stream" if running else ""]
        line = " · ".join(part for part in parts if part)
        if line != self._break_line:
            self._break_line = line
            self.query_one("#catch-break", Paragraph).show(line)

    # Keys that need no letter

    def on_key(self, event: events.Key) -> None:
        """From the list of claims Escape goes back to the line."""
        if event.key == "escape" and isinstance(self.focused, LongList):
            event.stop()
            self.query_one(EntryLine).focus()
