"""Parcels: what came in from the makers, and what goes out to people until it has arrived."""

from __future__ import annotations

from typing import cast

from textual import events, on
from textual.app import ComposeResult
from textual.widgets import Input

from breakdesk.desk.arrivals import Arrival, proposals
from breakdesk.desk.arriving import in_hand
from breakdesk.desk.finding import STATE_WORDS
from breakdesk.desk.settling import Close, close
from breakdesk.desk.ship_cards import ParcelLine, open_parcels
from breakdesk.desk.shipping import card_failed, delivered, parcel_failed
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import AskText, Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import UNDO_KEYS, ActingScreen
from breakdesk.tui.screens.arrival_dialogs import ask_arrival
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words, owner_words, person_words

PARCEL_WORDS = {"packing": "being packed", "shipped": "on its way", "lost": "lost", "returned": "came back"}


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(id=f"parcels.{name}", keys=(key,), label=label, tooltip=tooltip, context="parcels", footer=footer)


COMMANDS = REGISTRY.add(
    _command("arrival", "i", "Card came in", "Go to the line in which an arrived card is named."),
    _command("delivered", "d", "Arrived", "The parcel under the cursor arrived: its claims are closed."),
    _command("lost", "x", "Lost", "The parcel under the cursor is lost; its cards wait for a decision."),
    _command("returned", "r", "Came back", "The parcel under the cursor came back; its cards wait for a decision."),
    _command("pack", "p", "Pack", "Open the ship round at the person of this parcel.", footer=False),
    Command(
        id="parcels.undo",
        keys=UNDO_KEYS,
        label="Undo",
        tooltip="Undo one of the things that you did here; each is named first.",
        context="parcels",
        footer=False,
    ),
)


class ParcelsScreen(ActingScreen):
    """Cards that came in, and parcels until they have arrived."""

    TITLE_WORDS = "Parcels"
    ABOUT = (
        "Type a tag, a reference or a few words of a card that came in, then Down and Enter mark it as here. With the "
        "line empty, the list holds the parcels: d when one has arrived, x when it is lost, r when it came back."
    )
    CONTEXT = "parcels"
    BINDINGS = bindings(COMMANDS)
    AUTO_FOCUS = ""

    def __init__(self) -> None:
        super().__init__()
        self._parcels: tuple[ParcelLine, ...] = ()
        self._arrivals: tuple[Arrival, ...] = ()
        self._came_in: list[tuple[str, str | Secret]] = []

    def hidden(self) -> tuple[Secret, ...]:
        """Names, tracking numbers and references in sight."""
        people = [(line.name, line.handle, line.on_air_name) for line in self._parcels]
        people += [(line.name, line.handle, line.on_air_name) for line in self._arrivals]
        found = [person_words(*names) for names in people if names[0]]
        found += [masking.reference(line.tracking) for line in self._parcels if line.tracking]
        return tuple(found)

    def compose_body(self) -> ComposeResult:
        """Lay out the line above the list."""
        yield Input(
            placeholder="a card came in: its tag, its reference, or what it shows", id="arrival-line", max_length=120
        )
        yield Paragraph(id="parcels-title", style="bold")
        yield LongList(
            [
                Column(title="No.", width=8),
                Column(title="Card", width=20, stretch=3),
                Column(title="For", width=13, stretch=2),
                Column(title="Where it is", width=16, stretch=2),
                Column(title="Since", width=15, priority=2, quiet=True),
                Column(title="Remark", width=24, stretch=2, priority=3),
            ],
            empty="",
            id="parcels-list",
        )
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
            self._arrivals = await self.desk.call(proposals, text)
        else:
            self._parcels, self._arrivals = await self.desk.call(open_parcels), ()
        self._show(bool(text.strip()))

    def _show(self, arriving: bool) -> None:
        if arriving:
            count = len(self._arrivals)
            title = f"{counted(count, 'claim')} it can be, the likeliest first."
            title = (
                title if count else "No claim that waits fits this. Less of it may find one; F5 searches everything."
            )
            rows = [self._arrival_row(line) for line in self._arrivals]
        else:
            title = _counted(self._parcels)
            rows = [self._parcel_row(line) for line in self._parcels]
        self.query_one("#parcels-title", Paragraph).show(title)
        listing = self.query_one(LongList)
        listing.show(lambda offset, limit: rows[offset : offset + limit], len(rows), cursor=0 if arriving else None)
        self._show_below()

    def _show_below(self) -> None:
        if not self._came_in:
            self.query_one("#parcels-below", Paragraph).show("")
            return
        names = dict.fromkeys(name for _, name in self._came_in)
        parts: list[str | Secret] = [f"{len(self._came_in)} came in. To be told: "]
        for place, name in enumerate(names):
            parts += [", " if place else "", name]
        self.query_one("#parcels-below", Paragraph).show(*parts, ".")

    def _arrival_row(self, line: Arrival) -> Row:
        claim = line.claim
        owner = owner_words(claim.owner_kind, line.name, line.handle, line.on_air_name, self.desk.house.name)
        since = day_words(claim.submitted_on or claim.pull_day, self.desk.today())
        state = f"with {line.maker}" if claim.state == "submitted" and line.maker else STATE_WORDS[claim.state]
        return Row(line, (tag_words(claim.tag), line.what, owner, state, since, line.doubt))

    def _parcel_row(self, line: ParcelLine) -> Row:
        remark: str | Secret = masking.reference(line.tracking)
        if line.state == "packing":
            remark = f"{line.open_steps} steps open" if line.open_steps else "all steps done"
        elif line.next is not None and line.next.phase != "wait":
            by = f", by {day_words(line.next.by, self.desk.today())}" if line.next.by else ""
            remark = f"{line.next.words}{by}"
        since = day_words(line.since, self.desk.today()) if line.since else ""
        name = person_words(line.name, line.handle, line.on_air_name)
        tone = "strong" if line.state in ("lost", "returned") else "plain"
        return Row(
            line, (str(line.id or tag_words(line.tag)), line.what, name, PARCEL_WORDS[line.state], since, remark), tone
        )

    # The line

    @on(Input.Changed, "#arrival-line")
    def _typed(self) -> None:
        self.read_again()

    @on(Input.Submitted, "#arrival-line")
    async def _entered(self) -> None:
        self.walk(self._first())

    async def _first(self) -> None:
        await self.reload()
        if self._arrivals:
            self.query_one(LongList).focus()
            if len(self._arrivals) == 1:
                await self._take_in(self._arrivals[0])
        else:
            self.say("No claim that waits fits this. Less of it may find one; F5 searches everything.")

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
        self.walk(self._take_in(key) if isinstance(key, Arrival) else self._settle(cast("ParcelLine", key)))

    async def _take_in(self, line: Arrival) -> None:
        claim = line.claim
        request = await ask_arrival(self, line)
        if request is None:
            return
        if await self.carry_out(self.desk.call(in_hand, request)) is None:
            return
        owner = owner_words(claim.owner_kind, line.name, line.handle, line.on_air_name, self.desk.house.name)
        if claim.owner_kind == "person":
            self._came_in.append((tag_words(claim.tag), owner))
        self.query_one(Input).value = ""
        self.query_one(Input).focus()
        await self.reload()

    async def _settle(self, line: ParcelLine) -> None:
        if line.state == "packing":
            self.action_pack()
            return
        choices = [("delivered", "It arrived")]
        if line.state == "shipped":
            choices += [("lost", "It is lost"), ("returned", "It came back")]
        choice = await self.pick(
            f"What became of parcel {line.id}?" if line.id else f"What became of {tag_words(line.tag)}?", choices
        )
        if choice is not None:
            await self._record(line, choice)

    async def _record(self, line: ParcelLine, choice: str) -> None:
        if choice == "delivered":
            arrived = self.desk.call(delivered, line.id) if line.id else None
            await self.changed(arrived or self.desk.call(close, Close(tag=line.tag, how="delivered")))
            return
        note = await self.ask(AskText("What is known about it?", "Enter alone notes nothing."))
        if note is not None:
            failed = self.desk.call(parcel_failed, line.id, choice, note) if line.id else None
            await self.changed(failed or self.desk.call(card_failed, line.tag, choice, note))

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
        if line is not None:
            self.walk(self._record(line, choice))

    def action_pack(self) -> None:
        """Open the ship round at this person."""
        from breakdesk.tui.screens.ship_round import ShipRound

        line = self._parcel()
        if line is not None and line.person_id is not None:
            self.app.push_screen(ShipRound(line.person_id))


def _counted(parcels: tuple[ParcelLine, ...]) -> str:
    parts = [
        f"{count} {words if count == 1 else words.replace('its way', 'their way')}"
        for state, words in PARCEL_WORDS.items()
        if (count := sum(line.state == state for line in parcels))
    ]
    return f"Parcels: {', '.join(parts)}." if parts else "No parcel is open."
