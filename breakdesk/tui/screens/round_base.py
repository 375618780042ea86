"""What all rounds share: a list walked one item at a time, left at any item and taken up again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import ClassVar

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input

from breakdesk.desk.following import park_items
from breakdesk.desk.places import remember, remembered
from breakdesk.tui.commands import REGISTRY
from breakdesk.tui.dialogs import AskText, Paragraph
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.round_items import Item, place_named
from breakdesk.tui.screens.shared_round import SharedRound
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.round_strip import RoundStrip, Step, StripItem


class RoundScreen(SharedRound):
    """A round: the strip beside one item, whole, with the one thing to do next."""

    ZERO: ClassVar[str] = "Nothing is left here."
    """What is said when there is nothing to do."""
    NEEDS_NO_ITEM: ClassVar[frozenset[str]] = frozenset({"undo"})
    """What can be done on a round that has nothing in it."""
    AUTO_FOCUS = ""
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (110, "-wide")]
    VERTICAL_BREAKPOINTS = [(0, "-low"), (36, "-tall")]

    def __init__(self) -> None:
        """Make the round; its list is read when it opens."""
        super().__init__()
        self._items: list[Item] = []
        self._position = 0
        self._read_once = False
        self._shown_key = ""

    def hidden(self) -> tuple[Secret, ...]:
        """What the open item hides."""
        return self.item.secrets if self.item is not None else ()

    @property
    def item(self) -> Item | None:
        """The item that is open; None where the list is empty."""
        return self._items[self._position] if self._items else None

    def open_key(self) -> str:
        """The key of the open item."""
        return self.item.key if self.item is not None else ""

    def compose_body(self) -> ComposeResult:
        """Lay out the strip beside the item."""
        with Horizontal(id="round"):
            yield RoundStrip(id="round-strip")
            with Vertical(id="round-side"):
                yield Paragraph(id="round-zero")
                yield self.open_elsewhere()
                with VerticalScroll(id="round-body", can_focus=False):
                    yield from self.compose_item()
                with Vertical(id="round-below"):
                    yield from self.compose_below()

    # What a round says about itself

    def compose_item(self) -> ComposeResult:
        """Give the widgets that show one item."""
        yield from ()

    def compose_below(self) -> ComposeResult:
        """Give what stands below the item and never scrolls away: fields to type in."""
        yield from ()

    async def read_items(self) -> list[Item]:
        """Read the list from the desk, in the order in which it is walked."""
        raise NotImplementedError

    async def show_item(self, item: Item) -> None:
        """Show one item whole."""
        raise NotImplementedError

    def main_action(self) -> None:
        """Do the one thing to do next (the Enter key)."""
        raise NotImplementedError

    async def leaving(self) -> bool:
        """Ask what must be asked before the item is left; whether it may be left."""
        return True

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer on a round that has nothing in it only what needs no item."""
        of_this_round = any(command.handler == action for command in REGISTRY.of(self.CONTEXT))
        if of_this_round and not self._items and action not in self.NEEDS_NO_ITEM:
            return False
        return super().check_action(action, parameters)

    # Reading and showing

    def on_screen_resume(self) -> None:
        """Read the list anew: something may have been done elsewhere since."""
        if not self.came_from_dialog():
            self.read_again()

    async def reload(self) -> None:
        """Read the list, keep the order it was walked in, and show the item that was open."""
        fresh = {item.key: item for item in await self.read_items()}
        if self._read_once:
            known = {item.key for item in self._items}
            kept = [self._taken_up(item, fresh.get(item.key)) for item in self._items]
            self._items = kept + [item for key, item in fresh.items() if key not in known]
        else:
            self._items = list(fresh.values())
            self._position = self._place_of(await self.desk.call(remembered, f"round.{self.ROUND}"))
            self._read_once = True
        await self._show()

    @staticmethod
    def _taken_up(old: Item, fresh: Item | None) -> Item:
        if fresh is not None:
            return fresh
        return old if old.step is Step.PARKED else replace(old, step=Step.DONE)

    def _place_of(self, key: str) -> int:
        return next((place for place, item in enumerate(self._items) if item.key == key), 0)

    async def _show(self) -> None:
        self._position = max(0, min(self._position, len(self._items) - 1))
        strip = [StripItem(item.label, item.step) for item in self._items]
        self.query_one(RoundStrip).show(strip, self._position)
        item = self.item
        left = self.has_open()
        self.query_one("#round-zero", Paragraph).show(*([] if left else [self._zero_words()]))
        self.query_one("#round-zero").display = not left
        self.query_one("#round-body").display = item is not None
        self.query_one("#round-below").display = item is not None
        if item is not None and item.key != self._shown_key:
            self.say_what_is_open()
        if item is not None:
            await self.show_item(item)
            if item.key != self._shown_key:
                self.query_one("#round-body").scroll_home(animate=False)
            self._shown_key = item.key
        self.refresh_bindings()

    def _zero_words(self) -> str:
        done = sum(item.step is Step.DONE for item in self._items)
        parked = sum(item.step is Step.PARKED for item in self._items)
        parts = [f"{done} done"] if done else []
        parts += [f"{parked} put aside until a day"] if parked else []
        so_far = f" In this round: {', '.join(parts)}." if parts else ""
        return f"{self.ZERO}{so_far} Esc goes back."

    # Walking

    async def go_to(self, position: int) -> None:
        """Open another item, and keep the place."""
        if self._items and await self.leaving():
            self._position = max(0, min(position, len(self._items) - 1))
            await self._keep_place()
            await self._show()

    async def _keep_place(self) -> None:
        item = self.item
        if item is not None:
            await self.desk.call(remember, f"round.{self.ROUND}", item.key)

    async def finish(self, step: Step = Step.DONE) -> None:
        """Say that the open item is done with, and open the next one that is not."""
        item = self.item
        if item is not None:
            self._items[self._position] = replace(item, step=step)
            await self.open_next()

    async def go_on(self, *, stay: bool = False) -> None:
        """Read the list again after an action; the next item opens unless this one stays open and is to stay."""
        await self.reload()
        item = self.item
        if item is not None and not (stay and item.step is Step.OPEN):
            await self.open_next()

    async def open_next(self) -> None:
        """Open the next item that is still open, from the first again after the last."""
        count = len(self._items)
        around = [(self._position + offset) % count for offset in range(1, count + 1)] if count else []
        target = next((place for place in around if self._items[place].step is Step.OPEN), self._position)
        self._position = target
        await self._keep_place()
        await self._show()

    def has_open(self) -> bool:
        """Whether an item is left that could be done now."""
        return any(item.step is Step.OPEN for item in self._items)

    def action_next(self) -> None:
        """Skip to the next item."""
        self.walk(self.go_to(self._position + 1))

    def action_previous(self) -> None:
        """Go back to the one before."""
        self.walk(self.go_to(self._position - 1))

    def action_jump(self) -> None:
        """Jump."""
        self.walk(self._jump())

    async def _jump(self) -> None:
        if not self._items:
            return
        count = len(self._items)
        words = await self.ask(AskText("Jump to which one?", f"A number from 1 to {count}, or its first letters."))
        if words is None:
            return
        place = place_named(self._items, words)
        if place is None:
            self.say("Nothing in this round begins like that.")
        else:
            await self.go_to(place)

    def action_story(self) -> None:
        """Open the claim's story, or the person."""
        item = self.item
        if item is None:
            return
        if item.tag:
            from breakdesk.tui.screens.claim import ClaimScreen

            self.app.push_screen(ClaimScreen(item.tag))
        elif item.person_id is not None:
            from breakdesk.tui.screens.person import PersonScreen

            self.app.push_screen(PersonScreen(item.person_id))

    # Acting

    def action_park(self) -> None:
        """Put the item aside."""
        self.walk(self._park())

    async def _park(self) -> None:
        item = self.item
        if item is None or item.step is not Step.OPEN:
            return
        until = await self.ask_day("Put it aside until which day?")
        if until is None:
            return
        reason = await self.ask_words("Why is it put aside?")
        if reason is not None and await self.park(item, until, reason):
            await self.finish(Step.PARKED)

    async def park(self, item: Item, until: date, reason: str) -> bool:
        """Put an item aside; whether that was done."""
        done = await self.carry_out(self.desk.call(park_items, self.ROUND, item.park_ids, until, reason))
        return done is not None

    # Keys that need no letter

    async def on_key(self, event: events.Key) -> None:
        """Enter does the next thing, the arrows walk, Escape leaves a field before it leaves the round."""
        if isinstance(self.focused, Input):
            if event.key == "escape":
                event.stop()
                self.set_focus(None)
            return
        if event.key == "escape":
            event.stop()
            self.action_leave()
            return
        if isinstance(self.focused, LongList):
            return
        if event.key == "enter":
            event.stop()
            if self.item is not None:
                self.main_action()
        elif event.key in ("down", "right"):
            event.stop()
            self.action_next()
        elif event.key in ("up", "left"):
            event.stop()
            self.action_previous()
        elif event.key in ("home", "end"):
            event.stop()
            self.walk(self.go_to(0 if event.key == "home" else len(self._items) - 1))
        elif event.key in ("pagedown", "pageup"):
            event.stop()
            body = self.query_one("#round-body")
            (body.scroll_page_down if event.key == "pagedown" else body.scroll_page_up)(animate=False)

    def action_leave(self) -> None:
        """Leave the round, once what must be asked has been."""
        self.walk(self._leave())

    async def _leave(self) -> None:
        if await self.leaving():
            await self._keep_place()
            await self.desk.action_back()
