"""The ship round: a participant's cards, the parcel, its steps one key each, and its tracking number."""

from __future__ import annotations

from typing import cast

from textual.app import ComposeResult

from breakdesk.desk.describing import what_of
from breakdesk.desk.ship_cards import OpenParcel, ShipCard, StepLine, ship_card
from breakdesk.desk.shipping import Ship, ship, start_parcel, tick
from breakdesk.desk.viewing import today
from breakdesk.rules.claim import Claim
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import days_left
from breakdesk.rules.zones import in_zone
from breakdesk.tui import masking
from breakdesk.tui.commands import Command
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.screens.address_steps import Lives, take_address, they_moved
from breakdesk.tui.screens.parcel_menu import about_parcel, let_wait
from breakdesk.tui.screens.round_base import RoundScreen
from breakdesk.tui.screens.round_items import Item, person_item, round_commands
from breakdesk.tui.screens.ship_dialogs import ask_tracking
from breakdesk.tui.screens.ship_words import address_words, beside_the_cards, next_words
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import person_words


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(
        id=f"ship-round.{name}", keys=(key,), label=label, tooltip=tooltip, context="ship-round", footer=footer
    )


COMMANDS = round_commands(
    "ship-round",
    _command(
        "mark", "space", "Choose, tick", "Choose a card, or tick the step under the cursor or take its tick back."
    ),
    _command("address", "a", "Address", "Confirm the address as it stands, or write down a new one."),
    _command(
        "about", "e", "About it", "Lines, a note, its weight, a gift, the slip; or let it wait for more.", footer=False
    ),
    _command("moved", "m", "Moved", "They said that they moved: nothing goes to the old address.", footer=False),
    _command("ship", "t", "Tracking, ship", "Enter the tracking number and mark the parcel as shipped."),
)


class ShipRound(RoundScreen):
    """Walks the participants with cards to go out."""

    TITLE_WORDS = "Ship"
    ABOUT = (
        "Who has cards to go out. Enter starts the parcel with the cards that are chosen, then ticks one step after "
        "the other with the time and your initials, and at the end asks for the tracking number."
    )
    CONTEXT = "ship-round"
    BINDINGS = bindings(COMMANDS)
    ROUND = "ship"
    ZERO = "Nothing is left to be shipped."

    def __init__(self, start_with: int | None = None) -> None:
        """Make the round; `start_with` is the key of the participant to open first."""
        super().__init__()
        self._start_with = start_with
        self._card: ShipCard | None = None
        self._left_out: set[str] = set()
        """Cards that stay behind when the parcel is started."""

    def compose_item(self) -> ComposeResult:
        """Give the participant."""
        yield Fields(id="ship-fields")

    def compose_below(self) -> ComposeResult:
        """Give the cards or the steps, and the next step."""
        columns = [
            Column(title="", width=1),
            Column(title="Claim", width=8),
            Column(title="What", width=18, stretch=1),
            Column(title="When, who", width=11, priority=2, quiet=True),
        ]
        yield LongList(columns, empty="Nothing can go out to them now.", id="ship-list")
        yield Paragraph(id="ship-next", style="bold $accent")

    async def read_items(self) -> list[Item]:
        """Read today's list."""
        view = await self.desk.call(today)
        return [person_item(line.person, line, on_air=self.desk.on_air) for line in view.today.ship]

    async def reload(self) -> None:
        """Read the list; the first time, open whom the round was opened for."""
        first = self._start_with
        await super().reload()
        if first is not None:
            self._start_with = None
            await self.go_to(self._place_of(str(first)))

    async def show_item(self, item: Item) -> None:
        """Show the participant, their address, and the cards or the steps."""
        before = self._card
        self._card = card = await self.desk.call(ship_card, item.person_id or 0)
        if card is None:
            return
        if before is None or before.person_id != card.person_id:
            self._left_out = set()
        address = ", ".join(part for part in (*card.address.splitlines(), card.country) if part)
        state = "on hold: nothing goes out" if card.on_hold else ""
        self.query_one("#ship-fields", Fields).show(
            [
                Field("For", f"@{card.handle.lstrip('@')}" if card.handle else card.on_air_name, state, strong=True),
                Field("Name", person_words(card.name, card.handle, card.on_air_name)),
                Field("Address", masking.address(address), address_words(card, self.desk.today())),
                *beside_the_cards(card),
            ]
        )
        self._show_list(card, keep=before is not None and before.person_id == card.person_id)
        self.query_one(LongList).focus()

    def _show_list(self, card: ShipCard, *, keep: bool) -> None:
        listing = self.query_one(LongList)
        if card.parcel is not None:
            rows = [self._step_row(step) for step in card.parcel.steps]
            cursor = next(
                (place for place, step in enumerate(card.parcel.steps) if step.done_at is None), len(rows) - 1
            )
        else:
            rows = [self._card_row(card, claim) for claim in card.cards]
            cursor = listing.cursor if keep else 0
        listing.show(lambda offset, limit: rows[offset : offset + limit], len(rows), cursor=cursor)
        self.query_one("#ship-next", Paragraph).show(next_words(card, self._chosen(card)))

    def _step_row(self, step: StepLine) -> Row:
        done = step.done_at
        when = "" if done is None else f"{in_zone(done, self.desk.house.zone_at(done)):%H:%M} {step.who}"
        what = step.name if step.mandatory else f"{step.name} (optional)"
        return Row(
            step.id,
            ("✔" if done else "", tag_words(step.tag) if step.tag else "parcel", what, when),
            "quiet" if done else "plain",
        )

    def _card_row(self, card: ShipCard, claim: Claim) -> Row:
        what, left = what_of(claim), card.days_left.get(claim.id)
        if claim.plan == "give" and claim.state == "pulled":
            what += " – the claim card" + (f", {days_left(left)}" if left is not None else "")
        return Row(claim.tag, ("" if claim.tag in self._left_out else "✔", tag_words(claim.tag), what, ""))

    def _chosen(self, card: ShipCard) -> list[Claim]:
        return [claim for claim in card.cards if claim.tag not in self._left_out]

    # Doing one

    def main_action(self) -> None:
        """Start the parcel, tick the next step, or ask for the tracking number."""
        self.walk(self._forward())

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Enter does the next thing."""
        self.main_action()

    async def _forward(self) -> None:
        card = self._card
        if card is None:
            return
        if card.parcel is None:
            await self._start(card)
        elif card.parcel.open_steps:
            await self._tick(card.parcel.open_steps[0], done=True)
        else:
            await self._ship(card.parcel)

    async def _start(self, card: ShipCard) -> None:
        chosen = self._chosen(card)
        if not chosen:
            self.say("No card is chosen: Space chooses one." if card.cards else "Nothing can go out to them now.")
            return
        if not card.confirmed and not await self._go_anyway():
            return
        await self.changed(self.desk.call(start_parcel, [claim.tag for claim in chosen]))

    async def _go_anyway(self) -> bool:
        choice = await self.pick(
            "The address is not confirmed.",
            [("wait", "Wait: ask for it first"), ("pack", "Pack already; it is confirmed before it goes")],
        )
        return choice == "pack"

    async def _tick(self, step: StepLine, *, done: bool) -> None:
        if await self.carry_out(self.desk.call(tick, step.id, done=done), undoable=False) and self.item is not None:
            await self.show_item(self.item)

    def action_mark(self) -> None:
        """Choose a card, or tick a step."""
        card, row = self._card, self.query_one(LongList).current
        if card is None or row is None:
            return
        if card.parcel is None:
            self._left_out ^= {cast("str", row.key)}
            self._show_list(card, keep=True)
            return
        step = next((step for step in card.parcel.steps if step.id == row.key), None)
        if step is not None:
            self.walk(self._tick(step, done=step.done_at is None))

    def action_ship(self) -> None:
        """Ship."""
        self.walk(self._ship_now())

    async def _ship_now(self) -> None:
        card = self._card
        if card is None or card.parcel is None:
            self.say("There is no parcel yet: Enter starts it.")
        else:
            await self._ship(card.parcel)

    async def _ship(self, parcel: OpenParcel) -> None:
        card = self._card
        if card is not None and not card.confirmed and not parcel.goes_to:
            self.say("The address is not confirmed: a confirms it.")
            return
        reason = ""
        missing = [step for step in parcel.open_steps if step.mandatory]
        if missing:
            names = ", ".join(dict.fromkeys(step.name for step in missing))
            answer = await self.ask_words("Why does it go with open steps?", f"Still open: {names}.")
            if answer is None:
                return
            reason = answer
        tracking = await ask_tracking(self)
        if tracking is None:
            return
        request = Ship(parcel_id=parcel.id, tracking=tracking, reason=reason)
        number = masking.reference(" ".join(tracking.split()))
        if await self.carry_out(self.desk.call(ship, request), number, masking.reference(tracking)) is not None:
            await self.go_on(stay=True)

    def action_about(self) -> None:
        """Offer what else there is about the parcel."""
        self.walk(self._about())

    async def _about(self) -> None:
        card = self._card
        if card is None:
            return
        if card.parcel is not None:
            done = await about_parcel(self, card.parcel.id)
        else:
            done = await let_wait(self, card.name)
        if done is not None:
            await self.go_on(stay=True)

    # The address

    def action_address(self) -> None:
        """Confirm or change the address."""
        self.walk(self._address())

    async def _address(self) -> None:
        if self._card is not None and await take_address(self, _lives(self._card)):
            await self.reload()

    def action_moved(self) -> None:
        """They moved."""
        self.walk(self._moved())

    async def _moved(self) -> None:
        if self._card is not None and await they_moved(self, _lives(self._card)):
            await self.reload()


def _lives(card: ShipCard) -> Lives:
    return Lives(card.person_id, card.name, card.address, card.country)
