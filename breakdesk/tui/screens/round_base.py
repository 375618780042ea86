"""What all rounds share: a list walked one item at a time, left at any item and taken up again."""

from __future__ import annotations

from collections.abc import Awaitable, Coroutine, Iterable, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual import events
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.screen import Screen
from textual.widgets import Input

from breakdesk.desk.following import park_items
from breakdesk.desk.places import remember, remembered
from breakdesk.desk.problems import Done, Problem, Result
from breakdesk.desk.undoing import undo
from breakdesk.tui.base import DeskScreen
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.day_entry import HINT, day_check, read_day
from breakdesk.tui.dialogs import AskText, Choice, Dialog, Paragraph, Pick
from breakdesk.tui.masking import Secret
from breakdesk.tui.veiling import veiled
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.round_strip import RoundStrip, Step, StripItem

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

UNDO_OFFERED = 12
"""How many of the round's own actions are offered to be undone."""

_WALKING = (
    ("next", "n", "Next", "Leave this one as it is and go to the next (also the Down key).", True),
    ("previous", "b", "Back", "Go back to the one before (also the Up key).", False),
    ("park", "p", "Put aside", "Put it aside until a day, with a reason.", True),
    ("story", "o", "Story", "Open the story of the claim, or everything about the person.", True),
    ("jump", "j", "Jump", "Jump to another one by its number or its first letters.", False),
    ("undo", "u", "Undo", "Undo one of the things that you did in this round; each is named first.", False),
)


def round_commands(context: str, *own: Command) -> tuple[Command, ...]:
    """Registers the commands of a round: its own first, then those of walking a list."""
    walking = (
        Command(id=f"{context}.{name}", keys=(key,), label=label, tooltip=tooltip, context=context, footer=footer)
        for name, key, label, tooltip, footer in _WALKING
    )
    return REGISTRY.add(*own, *walking)


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One item of a round. `key` stays the same from one reading of the list to the next."""

    key: str
    label: str | Secret
    data: Any
    park_ids: tuple[int, ...] = ()
    """What putting it aside puts aside: claims' keys, for tell and ship the participant's."""
    tag: str = ""
    """The claim whose story opens."""
    person_id: int | None = None
    """The participant who opens where there is no claim."""
    names: str = ""
    """Words by which it can be jumped to."""
    secrets: tuple[Secret, ...] = ()
    """What must not be read on air in sentences about it."""
    step: Step = field(default=Step.OPEN)


class RoundScreen(DeskScreen):
    """A round: the strip beside one item, whole, with the one thing to do next."""

    ROUND: ClassVar[str] = ""
    """The round's name, under which it is parked and remembered."""
    ZERO: ClassVar[str] = "Nothing is left here."
    """What is said when there is nothing to do."""
    AUTO_FOCUS = ""

    def __init__(self) -> None:
        """Make the round; its list is read when it opens."""
        super().__init__()
        self._items: list[Item] = []
        self._position = 0
        self._read_once = False
        self._acted: list[tuple[Done, str | Secret]] = []

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    @property
    def item(self) -> Item | None:
        """The item that is open; None where the list is empty."""
        return self._items[self._position] if self._items else None

    def compose_body(self) -> ComposeResult:
        """Lay out the strip beside the item."""
        with Horizontal(id="round"):
            yield RoundStrip(id="round-strip")
            with Vertical(id="round-side"):
                yield Paragraph(id="round-zero")
                with VerticalScroll(id="round-body", can_focus=False):
                    yield from self.compose_item()
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

    # Reading and showing

    def on_screen_resume(self) -> None:
        """Read the list anew: something may have been done elsewhere since."""
        super().on_screen_resume()
        self.run_worker(self.reload(), group="round", exclusive=True, description="read a round")

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
        left = self._has_open()
        self.query_one("#round-zero", Paragraph).show(*([] if left else [self._zero_words()]))
        self.query_one("#round-zero").display = not left
        self.set_class(not left, "zero")
        if item is not None:
            await self.show_item(item)
            self.query_one("#round-body").scroll_home(animate=False)

    def _zero_words(self) -> str:
        done = sum(item.step is Step.DONE for item in self._items)
        parked = sum(item.step is Step.PARKED for item in self._items)
        parts = [f"{done} done"] if done else []
        parts += [f"{parked} put aside until a day"] if parked else []
        return self.ZERO + (f" In this round: {', '.join(parts)}." if parts else "")

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

    async def open_next(self) -> None:
        """Open the next item that is still open, from the first again after the last."""
        count = len(self._items)
        around = [(self._position + offset) % count for offset in range(1, count + 1)] if count else []
        target = next((place for place in around if self._items[place].step is Step.OPEN), self._position)
        self._position = target
        await self._keep_place()
        await self._show()

    def _has_open(self) -> bool:
        return any(item.step is Step.OPEN for item in self._items)

    async def _changed(self, work: Awaitable[Result]) -> None:
        """Carry out what changes the item but does not finish it, and show it anew."""
        if await self.carry_out(work) is not None:
            await self.reload()

    def walk(self, work: Coroutine[Any, Any, None]) -> None:
        """Run what a key started; nothing that writes is ever cut short by the next key."""
        self.run_worker(work, group="write", exit_on_error=False, description="a step of a round")

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
        wanted = words.casefold().lstrip("@")
        if wanted.isdecimal() and 1 <= int(wanted) <= count:
            await self.go_to(int(wanted) - 1)
            return
        for place, item in enumerate(self._items):
            if wanted and any(part.startswith(wanted) for part in _parts(item.names)):
                await self.go_to(place)
                return
        self.say("Nothing in this round begins like that.")

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

    async def ask(self, dialog: Dialog[Any]) -> Any:
        """Show a dialog and wait for its answer."""
        return await self.app.push_screen_wait(cast("Screen[Any]", dialog))

    async def pick(self, title: str, choices: Iterable[tuple[str, str | Secret]], *parts: str | Secret) -> str | None:
        """Ask for one of several; the answer is the first part of a choice."""
        answer = await self.ask(Pick(title, [Choice(key, label) for key, label in choices], *parts))
        return cast("str | None", answer)

    async def carry_out(self, work: Awaitable[Result], *more: Secret) -> Done | None:
        """Wait for a desk action, say what came of it, and keep it to be undone; None where it was refused.

        `more` are secrets beside the item's own that the sentence may hold.
        """
        secrets = (*(self.item.secrets if self.item is not None else ()), *more)
        result = await work
        if isinstance(result, Problem):
            self.say(veiled(result.sentence, secrets))
            return None
        said = veiled(result.said, secrets)
        if result.number is not None:
            self._acted.append((result, said))
        self.say(veiled(" ".join((result.said, *result.warnings)), secrets), "  u: undo." if result.number else "")
        return result

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
        reason = await self.ask(AskText("Why is it put aside?", check=_needed))
        if reason is not None and await self.park(item, until, reason):
            await self.finish(Step.PARKED)

    async def park(self, item: Item, until: date, reason: str) -> bool:
        """Put an item aside; whether that was done."""
        done = await self.carry_out(self.desk.call(park_items, self.ROUND, item.park_ids, until, reason))
        return done is not None

    async def ask_day(self, title: str, *parts: str | Secret) -> date | None:
        """Ask for a day from today on."""
        today = self.desk.today()
        text = await self.ask(AskText(title, *parts, HINT, check=day_check(today)))
        return None if text is None else read_day(text, today)

    def action_undo(self) -> None:
        """Undo something by name."""
        self.walk(self._undo())

    async def _undo(self) -> None:
        if not self._acted:
            self.say("Nothing was done in this round yet. F2, then u lists what was done before.")
            return
        latest = list(reversed(self._acted))[:UNDO_OFFERED]
        key = await self.pick("Undo which one?", [(str(done.key), said) for done, said in latest])
        if key is None:
            return
        result = await self.desk.call(undo, int(key))
        if isinstance(result, Problem):
            self.say(result.sentence)
            return
        self._acted = [(done, said) for done, said in self._acted if done.key != int(key)]
        self.say(result.said)
        await self.reload()

    # Keys that need no letter

    async def on_key(self, event: events.Key) -> None:
        """Enter does the next thing, the arrows walk, Escape leaves a field before it leaves the round."""
        if isinstance(self.focused, Input):
            if event.key == "escape":
                event.stop()
                self.set_focus(None)
            return
        if event.key in ("escape", "f2"):
            event.stop()
            self.walk(self._leave())
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

    async def _leave(self) -> None:
        if await self.leaving():
            await self._keep_place()
            await self.desk.action_back()


def _parts(names: str) -> Sequence[str]:
    folded = names.casefold()
    return [folded, *(part.lstrip("@") for part in folded.split())]


def _needed(text: str) -> str | None:
    return None if text.strip() else "A few words are enough."
