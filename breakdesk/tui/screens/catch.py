"""Catch: a claim written down on camera in one line, read while it is typed."""

from __future__ import annotations

from asyncio import sleep
from datetime import datetime

from textual import events, on
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Input

from breakdesk.desk.breaks import break_state, caught, list_breaks, spot_board
from breakdesk.desk.entering import Pull, open_table, pull, read_line, recent_claims
from breakdesk.desk.places import remember, remembered
from breakdesk.desk.problems import Problem
from breakdesk.rules.entry import Kept, Reading, Readings
from breakdesk.rules.ownership import Owner
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.screens.catch_base import UNDO_WORDS
from breakdesk.tui.screens.catch_board import Board
from breakdesk.tui.screens.catch_breaks import BreakActions
from breakdesk.tui.screens.catch_claims import ClaimActions
from breakdesk.tui.screens.catch_commands import COMMANDS, CONTEXT
from breakdesk.tui.screens.catch_seats import PLACE, Seat, seats_from
from breakdesk.tui.screens.catch_words import (
    BoardRow,
    board_rows,
    break_words,
    caption_of,
    card_words,
    caught_owner,
    caught_rows,
    kept_words,
    minute_words,
    needs_second_enter,
    owner_words,
    page_of,
    worded,
)
from breakdesk.tui.widgets.big_handle import BigHandle
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.entry_line import EntryLine
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.reading_panel import Page, ReadingPanel

WIDE = 120
"""Cells from which on the spot board stands beside the line."""
CLOCK_SECONDS = 5
ECHO_SECONDS = 0.002
KEEP_SECONDS = 0.4
"""How often a half-typed line is kept, by a thread of its own, so that keys never wait for the disk."""
ANYWAY = "Enter again saves it anyway. Or type more; Down takes another reading."


class CatchScreen(ClaimActions, BreakActions):
    """The line, what it is read as, the last claims, and the spots."""

    TITLE_WORDS = "Catch"
    ABOUT = (
        "Type what you see on the card in any order: part of the name, a print run such as /25, features, an expiry. "
        "Below stands how it is read and whose it is; what is doubtful has a word. Down and Up take another reading, "
        "Enter saves. Tab goes to the last claims, where letters act on the chosen one."
    )
    CONTEXT = CONTEXT
    BINDINGS = bindings(COMMANDS)
    AUTO_FOCUS = "#entry"

    def __init__(self) -> None:
        super().__init__()
        self._readings: Readings | None = None
        self._read_text = ""
        self._index = 0
        self._armed = False
        self._waiting = False
        self._named: Owner | None = None
        self._after_saving = False
        self._break_line = ""
        self._last_kept: tuple[Seat, str, Kept] | None = None

    def compose_body(self) -> ComposeResult:
        """Lay out the line with its reading and the last claims, the spots beside them."""
        # The line stands in a box of its own: what lies in other boxes need not be drawn again for a letter.
        with Vertical(id="catch-top"):
            yield Paragraph(id="catch-break", style="$quiet")
            yield EntryLine(placeholder="Type what is on the card", id="entry", max_length=400)
        with Horizontal(id="catch"):
            with Vertical(id="catch-main"):
                yield BigHandle(id="catch-owner")
                yield ReadingPanel(id="catch-reading")
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
            yield Board(id="catch-board")

    def on_mount(self) -> None:
        """Sit down where one sat last, and let the clock run."""
        super().on_mount()
        self.set_interval(CLOCK_SECONDS, self._show_break)
        self.set_interval(KEEP_SECONDS, self._keep)
        self.run_worker(self._begin(), group="table", description="open the break")

    def on_resize(self, event: events.Resize) -> None:
        """Show the board beside the line where there is room."""
        self.set_class(event.size.width >= WIDE, "wide")
        self.set_class(event.size.height >= 32, "tall")

    def on_screen_resume(self) -> None:
        """Read the night anew: something may have been done elsewhere."""
        super().on_screen_resume()
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
            self._show_rest()

    async def sit(self, break_id: int | None, *, anew: bool = False) -> None:
        """Sit down at a break; its words are read off the key path."""
        line = self.query_one(EntryLine)
        if self.seat is not None:
            self.seat.line = line.value
        seat = self.seats.take(break_id)
        self._named = None
        with line.prevent(Input.Changed):
            line.value = seat.line
        line.cursor_position = len(seat.line)
        line.focus()
        self._forget_reading()
        self._show_rest()
        if seat.table is None or anew:
            seat.table = await self.desk.call(open_table, break_id)
        if self.seat is seat:
            await self.refresh_night()
            self._show_rest()
            self._read()
            if seat.dropped and not seat.line:
                self.say(f"Half typed when it was left: {seat.dropped}  Up brings it back.")
            self._keep()

    async def refresh_night(self) -> None:
        """Read and show the break, its last claims and its spots."""
        seat = self.seat
        if seat is None:
            return
        break_id = seat.break_id
        self.state = None if break_id is None else await self.desk.call(break_state, break_id)
        self.caught = await self.desk.call(caught, break_id)
        if seat.table is not None:
            seat.table = seat.table.with_recent(await self.desk.call(recent_claims, break_id))
        rows = caught_rows(self.caught, self.desk.house.name)
        self.query_one("#caught", LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        self.query_one("#catch-board", Board).show([] if break_id is None else await self.board())
        self._show_break()

    async def board(self) -> list[BoardRow]:
        """Read the spots of the break."""
        seat = self.seat
        if seat is None or seat.break_id is None:
            return []
        return board_rows(await self.desk.call(spot_board, seat.break_id))

    def _show_break(self) -> None:
        seat = self.seat
        parts = [break_words(self.state, None if seat is None else seat.table)]
        if self.state is not None:
            running = minute_words(self.state.stream_seconds(self._now()))
            parts += [f"{running} on the stream"] if running else []
        if seat is not None:
            parts += [kept_words(seat.kept, seat.table)]
        line = " · ".join(part for part in parts if part)
        if line != self._break_line:
            self._break_line = line
            self.query_one("#catch-break", Paragraph).show(line)

    def _now(self) -> datetime:
        return self.desk.desk.clock.as_of()

    # Typing

    @on(Input.Changed, "#entry")
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        if self.seat is not None:
            self.seat.line = event.value
        self._armed = False
        self._index = 0
        if not event.value:
            self._named = None
        if event.value or not self._after_saving:
            self._after_saving = False
            if not self._waiting:
                # The letter is painted first; what it means comes with the next picture.
                self._waiting = True
                self.call_after_refresh(self._read_after_echo)

    async def _read_after_echo(self) -> None:
        # The letter leaves by a thread of its own, which would wait for this one to be through with the reading.
        await sleep(ECHO_SECONDS)
        self._read()

    def _keep(self) -> None:
        seat = self.seat
        now = (seat, seat.line or seat.dropped, seat.kept) if seat is not None else None
        if now is not None and now != self._last_kept:
            self._last_kept = now
            self.desk.queue(remember, PLACE, self.seats.to_text())

    def _read(self) -> None:
        """Read the line as it stands now, and show it."""
        self._waiting = False
        seat, text = self.seat, self.query_one(EntryLine).value
        if seat is None or seat.table is None:
            self._show_rest()
            return
        if not text.strip():
            self._forget_reading()
            self._show_rest()
            return
        if self._readings is None or text != self._read_text:
            self._readings = read_line(seat.table, text, seat.kept, self._now())
            self._read_text = text
        self._show_reading()

    def _forget_reading(self) -> None:
        self._readings, self._read_text, self._index, self._armed = None, "", 0, False

    @property
    def reading(self) -> Reading | None:
        """The reading that is chosen."""
        if self._readings is None:
            return None
        return (self._readings.best, *self._readings.runners_up)[self._index]

    def _show_reading(self) -> None:
        seat, reading = self.seat, self.reading
        if seat is None or seat.table is None or reading is None or self._readings is None:
            return
        owner = self._named or reading.owner.value
        words = owner_words(owner, seat.table.people, seat.table.house.name)
        caption = "for, as you said" if self._named else caption_of(reading)
        if self._index:
            caption = f"reading {self._index + 1} of {1 + len(self._readings.runners_up)} · {caption}"
        sure = self._named is not None or (reading.owner.certainty == "sure" and owner.kind != "nobody")
        self.query_one(BigHandle).show(words.shown(on_air=self.desk.on_air), caption, sure=sure)
        hint = ANYWAY if self._armed else ""
        self.query_one(ReadingPanel).show(page_of(self._readings, self._index, seat.table, hint))

    def _show_rest(self) -> None:
        """What stands there while nothing is typed."""
        seat = self.seat
        if seat is None:
            sentence = "No break is running. Ctrl+B chooses one, starts it, or takes cards bought elsewhere."
        elif seat.table is None:
            sentence = "Reading the checklist…"
        else:
            sentence = ""
        self.query_one(BigHandle).show("", "")
        self.query_one(ReadingPanel).show(Page(sentence=sentence))
        self._show_break()

    @on(EntryLine.Other)
    def _other(self, event: EntryLine.Other) -> None:
        event.stop()
        line = event.line
        if not line.value and self.seat is not None and self.seat.dropped:
            line.value, self.seat.dropped = self.seat.dropped, ""
            line.cursor_position = len(line.value)
            return
        if self._readings is None or self._read_text != line.value:
            return
        count = 1 + len(self._readings.runners_up)
        self._index = max(0, min(count - 1, self._index + event.step))
        self._armed = False
        self._show_reading()

    @on(EntryLine.LetGo)
    async def _let_go_of_line(self, event: EntryLine.LetGo) -> None:
        event.stop()
        if not event.line.value:
            await self.desk.action_back()
            return
        if self.seat is not None:
            self.seat.dropped = event.line.value
        event.line.value = ""
        self.say("Up brings the line back.")

    # Saving

    @on(Input.Submitted, "#entry")
    def _entered(self, event: Input.Submitted) -> None:
        event.stop()
        seat = self.seat
        if not event.value.strip():
            return
        if seat is None:
            self.say("Choose a break first: Ctrl+B. Nothing of the line is lost.")
            return
        if seat.table is None:
            self.say("The checklist is still being read. Press Enter again in a moment.")
            return
        if self._read_text != event.value:
            self._read()
        reading = self.reading
        if reading is None:
            return
        if needs_second_enter(reading) and not self._armed:
            self._armed = True
            self._show_reading()
            return
        self._save(seat, event.value, reading)

    def _save(self, seat: Seat, text: str, reading: Reading) -> None:
        before, named = seat.kept, self._named
        product_id = reading.product_id.value if reading.product_id.value is not None else before.product_id
        seat.kept = Kept(product_id=product_id, box=reading.box.value, expires_on=reading.expires_on.value)
        self._after_saving = True
        self._forget_reading()
        self._named = None
        self.query_one(EntryLine).value = ""
        request = Pull(break_id=seat.break_id, reading=reading, owner=named)
        self.do(self._write_down(seat, text, before, request))

    async def _write_down(self, seat: Seat, text: str, before: Kept, request: Pull) -> None:
        result = await self.desk.call(pull, request)
        if isinstance(result, Problem):
            seat.kept = before
            line = self.query_one(EntryLine)
            if self.seat is seat and not line.value:
                line.value = text
                line.cursor_position = len(text)
            else:
                seat.dropped = text
            self.say(result.sentence)
            return
        if self.seat is not seat:
            return
        await self.refresh_night()
        item = next((item for item in self.caught if item.claim.id == result.claims[0]), None)
        if item is None:
            return
        tag, name = tag_words(item.claim.tag), caught_owner(item, self.desk.house.name)
        warnings = f" {' '.join(result.warnings)}" if result.warnings else ""
        self.say(worded(f"{tag} is saved for ", name, "."), warnings, UNDO_WORDS)
        if not self.query_one(EntryLine).value:
            self.query_one(BigHandle).show(tag, "saved · write this on the sleeve")
            self.query_one(ReadingPanel).show(Page(sentence=worded(f"{card_words(request.reading)} · for ", name)))

    # Keys that need no letter

    def on_key(self, event: events.Key) -> None:
        """From the list of claims Escape goes back to the line."""
        if event.key == "escape" and isinstance(self.focused, LongList):
            event.stop()
            self.query_one(EntryLine).focus()

    def action_let_go(self) -> None:
        """Let go of what is kept."""
        if self.seat is None:
            return
        if self.seat.kept == Kept():
            self.say("Nothing is kept.")
            return
        self.seat.kept = Kept()
        self._forget_reading()
        self._read()
        self._show_break()
        self._keep()
        self.say("Box, expiry and product are no longer kept.")

    @property
    def typing(self) -> bool:
        """Whether a line is being typed that has a reading."""
        return self.reading is not None

    def name_owner(self, owner: Owner) -> None:
        """Say whose the card being typed is."""
        self._named = owner
        self._show_reading()
