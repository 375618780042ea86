"""Parcels: what came in from the makers, and what goes out to people until it has arrived."""

from __future__ import annotations

from collections.abc import Awaitable
from typing import cast

from textual import events, on
from textual.app import ComposeResult
from textual.widgets import Input

from breakdesk.desk.arriving import in_hand
from breakdesk.desk.combining import Combining, combining
from breakdesk.desk.desk import Desk
from breakdesk.desk.envelopes import ToWrite, keep_stranger, whom_to_write
from breakdesk.desk.photos import keep_photos
from breakdesk.desk.problems import Done, Result
from breakdesk.desk.recognising import Counter, Match, fresh_counter, what_it_can_be
from breakdesk.desk.settling import Close, close
from breakdesk.desk.ship_cards import ParcelLine, open_parcels
from breakdesk.desk.shipping import delivered
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.screens.arrival_dialogs import ask_arrival, ask_stranger, end_envelope
from breakdesk.tui.screens.paper_menu import take_papers
from breakdesk.tui.screens.parcel_commands import COMMANDS
from breakdesk.tui.screens.parcel_menu import about_card, about_parcel, about_waiting, went_wrong
from breakdesk.tui.screens.parcel_rows import (
    came_in_words,
    counted_parcels,
    match_row,
    parcel_columns,
    parcel_row,
    waiting_row,
    words_below,
)
from breakdesk.tui.widgets.inputs import CarefulInput
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.wording import person_words


def _parcels_and_waiting(desk: Desk) -> tuple[tuple[ParcelLine, ...], tuple[Combining, ...]]:
    return open_parcels(desk), combining(desk)


class ParcelsScreen(ActingScreen):
    """Cards that came in, and parcels until they have arrived."""

    TITLE_WORDS = "Parcels"
    ABOUT = (
        "Type a tag, a reference, a code, the maker's tracking number or a few words of a card that came in; Enter "
        "takes it in, w ends the envelope. With the line empty, the list holds the parcels: Enter or e for what can be "
        "done about one, d when it has arrived, f for postage and everything that is printed."
    )
    CONTEXT = "parcels"
    BINDINGS = bindings(COMMANDS)
    AUTO_FOCUS = ""

    def __init__(self) -> None:
        super().__init__()
        self._parcels: tuple[ParcelLine, ...] = ()
        self._waiting: tuple[Combining, ...] = ()
        self._matches: tuple[Match, ...] = ()
        self._counter: Counter | None = None
        self._came_in: list[Done] = []
        self._to_write: tuple[ToWrite, ...] = ()

    def hidden(self) -> tuple[Secret, ...]:
        """Names, tracking numbers and references in sight."""
        people = [(line.name, line.handle, line.on_air_name) for line in self._parcels]
        people += [(item.name, item.handle, item.on_air_name) for item in self._waiting]
        people += [(m.arrival.name, m.arrival.handle, m.arrival.on_air_name) for m in self._matches]
        people += [(person.name, person.handle, person.on_air_name) for person in self._to_write]
        found = [person_words(*names) for names in people if names[0]]
        found += [masking.reference(line.tracking) for line in self._parcels if line.tracking]
        return tuple(found)

    def compose_body(self) -> ComposeResult:
        """Lay out the line above the list."""
        yield CarefulInput(
            placeholder="a card came in: its tag, its reference, or what it shows", id="arrival-line", max_length=120
        )
        yield Paragraph(id="parcels-title", style="bold")
        yield LongList(parcel_columns(), empty="", id="parcels-list")
        yield Paragraph(id="parcels-below", style="$accent")

    def on_screen_resume(self) -> None:
        """Read anew."""
        if self.came_from_dialog():
            return
        if not self.query_one(Input).value:
            self.query_one(LongList).focus()
        self.read_again()

    async def reload(self) -> None:
        """Read what the line asks for, or the parcels."""
        text = self.query_one(Input).value
        if text.strip():
            self._counter = await self.desk.call(fresh_counter, self._counter)
            self._matches = await self.desk.call(what_it_can_be, self._counter, text)
        else:
            self._matches = ()
            self._parcels, self._waiting = await self.desk.call(_parcels_and_waiting)
        came = self._standing()
        self._to_write = (
            await self.desk.call(whom_to_write, [key for done in came for key in done.claims]) if came else ()
        )
        self._show(bool(text.strip()))

    def _show(self, arriving: bool) -> None:
        today = self.desk.today()
        if arriving:
            count = len(self._matches)
            title = f"{counted(count, 'claim')} it can be, the likeliest first."
            title = title if count else "No claim that waits fits this. Less of it may find one; Enter keeps the card."
            rows = [match_row(match, self.desk.house.name, today) for match in self._matches]
        else:
            title = counted_parcels(self._parcels, self._waiting)
            rows = [parcel_row(line, today) for line in self._parcels]
            rows += [waiting_row(item, today) for item in self._waiting]
        self.query_one("#parcels-title", Paragraph).show(title)
        listing = self.query_one(LongList)
        listing.show(lambda offset, limit: rows[offset : offset + limit], len(rows), cursor=0 if arriving else None)
        self._show_below()

    def _standing(self) -> list[Done]:
        """What was taken in here and not undone since."""
        kept = {done.key for done, _ in self._acted}
        return [done for done in self._came_in if done.key in kept]

    def on_long_list_moved(self) -> None:
        """Say below the list what is to be known about the row under the cursor: a narrow screen shows no remark."""
        self._show_below()

    def _show_below(self) -> None:
        row = self.query_one(LongList).current
        about = "" if row is None else words_below(row.key, self.desk.today())
        came = came_in_words(len(self._standing()), self._to_write)
        self.query_one("#parcels-below", Paragraph).show(about, "\n" if about else "", *came)

    # The line

    @on(Input.Changed, "#arrival-line")
    def _typed(self) -> None:
        self.read_again()

    @on(Input.Submitted, "#arrival-line")
    async def _entered(self) -> None:
        self.walk(self._first())

    async def _first(self) -> None:
        await self.reload()
        if len(self._matches) == 1:
            await self._take_in(self._matches[0])
        elif self._matches:
            self.query_one(LongList).focus()
        else:
            await self._keep_stranger()

    async def _keep_stranger(self) -> None:
        typed = self.query_one(Input).value.strip()
        if typed and await ask_stranger(self, typed):
            await self._keep(self.desk.call(keep_stranger, typed))

    def on_key(self, event: events.Key) -> None:
        """Let the arrows go between the line and the list, and Escape empty the line first."""
        line = self.query_one(Input)
        if event.key == "down" and line.has_focus:
            event.stop()
            self.query_one(LongList).focus()
        elif event.key == "up" and self.query_one(LongList).has_focus and self.query_one(LongList).cursor == 0:
            event.stop()
            line.focus()
        elif event.key == "escape" and (line.has_focus or line.value):
            event.stop()
            line.value = ""
            self.query_one(LongList).focus()

    def action_arrival(self) -> None:
        """Go to the line."""
        self.query_one(Input).focus()

    # What is done

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Take a card in, or say what became of a parcel."""
        key = event.row.key
        if isinstance(key, Match):
            self.walk(self._take_in(key))
        elif isinstance(key, ParcelLine) and key.state == "packing":
            self.action_pack()
        else:
            self.walk(self._about(key))

    async def _take_in(self, match: Match) -> None:
        answered = await ask_arrival(self, match)
        if answered is None:
            return
        if answered.request is None:
            await self._keep_stranger()
            return
        if await self._keep(self.desk.call(in_hand, answered.request)) and answered.photos:
            await self.carry_out(self.desk.call(keep_photos, match.claim.tag, answered.photos))

    async def _keep(self, work: Awaitable[Result]) -> bool:
        done = await self.carry_out(work)
        if done is None:
            return False
        self._came_in.append(done)
        self.query_one(Input).value = ""
        self.query_one(Input).focus()
        await self.reload()
        return True

    def action_envelope(self) -> None:
        """End the envelope."""
        self.walk(self._end_envelope())

    async def _end_envelope(self) -> None:
        came = self._standing()
        if not came:
            self.say("Nothing was taken in here yet: i goes to the line in which a card is named.")
            return
        if await end_envelope(self, len(came), self._to_write):
            self._came_in.clear()
            await self.reload()

    def action_about(self) -> None:
        """Offer what there is about the parcel under the cursor."""
        row = self.query_one(LongList).current
        if row is None or isinstance(row.key, Match):
            self.say("The cursor is on no parcel.")
        else:
            self.walk(self._about(row.key))

    async def _about(self, key: object) -> None:
        if isinstance(key, Combining):
            done = await about_waiting(self, key)
        else:
            line = cast("ParcelLine", key)
            done = await (about_card(self, line.tag, line.state) if line.id is None else about_parcel(self, line.id))
        if done is not None:
            await self.reload()

    def action_papers(self) -> None:
        """Offer postage, paper and pages."""
        self.walk(take_papers(self))

    async def _record(self, line: ParcelLine, choice: str) -> None:
        if choice != "delivered":
            done = await went_wrong(self, line.id, line.tag, choice)
        elif line.id is None:
            done = await self.carry_out(self.desk.call(close, Close(tag=line.tag, how="delivered")))
        else:
            done = await self.carry_out(self.desk.call(delivered, line.id))
        if done is not None:
            await self.reload()

    def _parcel(self) -> ParcelLine | None:
        row = self.query_one(LongList).current
        if row is not None and isinstance(row.key, ParcelLine):
            return row.key
        self.say("The cursor is on no parcel.")
        return None

    def action_delivered(self) -> None:
        """It arrived."""
        self._say_of_parcel("delivered")

    def action_lost(self) -> None:
        """It is lost."""
        self._say_of_parcel("lost")

    def action_returned(self) -> None:
        """It came back."""
        self._say_of_parcel("returned")

    def _say_of_parcel(self, choice: str) -> None:
        line = self._parcel()
        if line is not None and line.state == "packing":
            self.say("It has not left yet: p packs it.")
        elif line is not None:
            self.walk(self._record(line, choice))

    def action_pack(self) -> None:
        """Open the ship round at this person."""
        from breakdesk.tui.screens.ship_round import ShipRound

        line = self._parcel()
        if line is not None and line.person_id is not None:
            self.app.push_screen(ShipRound(line.person_id))
