"""The line of the Catch screen: what is typed is read at once, shown, kept, and saved."""

from __future__ import annotations

from asyncio import sleep
from datetime import datetime

from textual import on
from textual.widgets import Input

from breakdesk.desk.entering import Pull, read_line
from breakdesk.desk.places import remember
from breakdesk.desk.problems import Problem
from breakdesk.desk.waiting import pull_or_keep
from breakdesk.rules.entry import Kept, Reading, Readings
from breakdesk.rules.ownership import Owner
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.screens.catch_base import CatchBase
from breakdesk.tui.screens.catch_seats import PLACE, Seat
from breakdesk.tui.screens.catch_words import (
    caption_of,
    card_words,
    caught_owner,
    needs_second_enter,
    owner_words,
    page_of,
    worded,
)
from breakdesk.tui.widgets.big_handle import BigHandle
from breakdesk.tui.widgets.entry_line import EntryLine
from breakdesk.tui.widgets.reading_panel import Page, ReadingPanel

ECHO_SECONDS = 0.002
A_CODE = "This looks like a code. Enter asks what to do with it; Esc lets go of it."
ANYWAY = "Enter again saves it anyway. Or type more; Down takes another reading."


class LineActions(CatchBase):
    """Typing a claim, and saving it."""

    def __init__(self) -> None:
        super().__init__()
        self._readings: Readings | None = None
        self._read_text = ""
        self._index = 0
        self._armed = False
        self._waiting = False
        self._named: Owner | None = None
        self._after_saving = False
        self._last_kept: tuple[Seat, str, Kept] | None = None

    def show_break(self) -> None:
        """Show how the break stands."""
        raise NotImplementedError

    def now(self) -> datetime:
        """The instant by the desk's clock."""
        return self.desk.desk.clock.as_of()

    def take_up(self, text: str) -> None:
        """Put a line there as it was left; it is read once the words of its break are known."""
        line = self.query_one(EntryLine)
        line.holds_code = self.holds_code
        self._named = None
        with line.prevent(Input.Changed):
            line.value = text
        line.cursor_position = len(text)
        line.focus()
        self.forget_reading()
        self.show_rest()

    # Typing

    @on(Input.Changed, "#entry")
    def _typed(self, event: Input.Changed) -> None:
        event.stop()
        if self.seat is not None:
            # What is kept stands in the desk as it was typed: never a code.
            self.seat.line = "" if self.holds_code(event.value) else event.value
        self._armed = False
        self._index = 0
        if not event.value:
            self._named, self.no_code = None, ""
        if event.value or not self._after_saving:
            self._after_saving = False
            if not self._waiting:
                # The letter is painted first; what it means comes with the next picture.
                self._waiting = True
                self.call_after_refresh(self._read_after_echo)

    async def _read_after_echo(self) -> None:
        # The letter leaves by a thread of its own, which would wait for this one to be through with the reading.
        await sleep(ECHO_SECONDS)
        self.read()

    def keep(self) -> None:
        """Keep the half-typed lines, where they changed."""
        seat = self.seat
        now = (seat, seat.line or seat.dropped, seat.kept) if seat is not None else None
        if now is not None and now != self._last_kept:
            self._last_kept = now
            self.desk.queue(remember, PLACE, self.seats.to_text())

    def read(self) -> None:
        """Read the line as it stands now, and show it."""
        self._waiting = False
        seat, text = self.seat, self.query_one(EntryLine).value
        if seat is None or seat.table is None:
            self.show_rest()
            return
        if not text.strip():
            self.forget_reading()
            self.show_rest()
            return
        if self.holds_code(text):
            self.forget_reading()
            self.query_one(BigHandle).show("", "")
            self.query_one(ReadingPanel).show(Page(sentence=A_CODE))
            return
        if self._readings is None or text != self._read_text:
            self._readings = read_line(seat.table, text, seat.kept, self.now())
            self._read_text = text
        self._show_reading()

    def forget_reading(self) -> None:
        """Forget how the line was read."""
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

    def show_rest(self) -> None:
        """Show what stands there while nothing is typed."""
        seat = self.seat
        if seat is None:
            sentence = "No break is running. Ctrl+B chooses one, starts it, or takes cards bought elsewhere."
        elif seat.table is None:
            sentence = "Reading the checklist…"
        else:
            sentence = ""
        self.query_one(BigHandle).show("", "")
        self.query_one(ReadingPanel).show(Page(sentence=sentence))
        self.show_break()

    @on(EntryLine.Other)
    def _other(self, event: EntryLine.Other) -> None:
        event.stop()
        line = event.line
        if not line.value and self.seat is not None and self.seat.dropped:
            line.value = self.seat.take_back()
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
        code = self.holds_code(event.line.value)
        if self.seat is not None and not code:
            self.seat.let_go(event.line.value)
        event.line.value = ""
        if not code:
            self.say("Up brings the line back.")

    @on(EntryLine.LeftOut)
    def _left_out(self, event: EntryLine.LeftOut) -> None:
        event.stop()
        if event.too_long:
            self.say(f"Nothing was pasted: a line takes up to {event.line.max_length} characters.")
        else:
            self.say(f"The first of {event.lines} pasted lines was taken. Ctrl+B takes a list of who has which spot.")

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
        if self.holds_code(event.value):
            event.input.value = ""
            self.do(self.take_code(event.value))
            return
        if self._read_text != event.value:
            self.read()
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
        self.forget_reading()
        self._named = None
        self.query_one(EntryLine).value = ""
        request = Pull(break_id=seat.break_id, reading=reading, owner=named)
        self.do(self._write_down(seat, text, before, request))

    async def _write_down(self, seat: Seat, text: str, before: Kept, request: Pull) -> None:
        result = await self.desk.call(pull_or_keep, request)
        if isinstance(result, Problem):
            seat.kept = before
            line = self.query_one(EntryLine)
            if self.seat is seat and not line.value:
                line.value = text
                line.cursor_position = len(text)
            else:
                seat.let_go(text)
            self.say(result.sentence)
            return
        seat.forget_last_start()
        if not result.claims:
            self.say(result.said)
            return
        self.keep()
        if self.seat is not seat:
            return
        await self.refresh_night()
        item = next((item for item in self.caught if item.claim.id == result.claims[0]), None)
        if item is None:
            return
        tag, name = tag_words(item.claim.tag), caught_owner(item, self.desk.house.name)
        warnings = f" {' '.join(result.warnings)}" if result.warnings else ""
        self.say(worded(f"{tag} is saved for ", name, "."), warnings, undoable=True)
        if not self.query_one(EntryLine).value:
            self.query_one(BigHandle).show(tag, "saved · write this on the sleeve")
            self.query_one(ReadingPanel).show(Page(sentence=worded(f"{card_words(request.reading)} · for ", name)))

    # What was said of the line

    def action_let_go(self) -> None:
        """Let go of what is kept."""
        if self.seat is None:
            return
        if self.seat.kept == Kept():
            self.say("Nothing is kept.")
            return
        self.seat.kept = Kept()
        self.forget_reading()
        self.read()
        self.show_break()
        self.keep()
        self.say("Box, expiry and product are no longer kept.")

    @property
    def typing(self) -> bool:
        """Whether a line is being typed that has a reading."""
        return self.reading is not None

    def name_owner(self, owner: Owner) -> None:
        """Say whose the card being typed is."""
        self._named = owner
        self._show_reading()
