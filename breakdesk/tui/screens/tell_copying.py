"""Copying one message after the other: told when the next one is copied, or when leaving; held in quiet hours."""

from __future__ import annotations

from dataclasses import replace
from time import monotonic

from breakdesk.desk.reaching import TellCard
from breakdesk.desk.telling import mark_told
from breakdesk.tui.clipboard import MESSAGE_ON_AIR, copy_text
from breakdesk.tui.dialogs import Confirm, Paragraph
from breakdesk.tui.screens.round_base import RoundScreen
from breakdesk.tui.screens.round_items import Item
from breakdesk.tui.screens.tell_words import QUIET_CHOICES, next_words, secrets_of, to_copy
from breakdesk.tui.widgets.round_strip import Step
from breakdesk.tui.wording import person_words

PASTE_SECONDS = 0.4
"""Nobody pastes faster: a key that is held down, or bounces, must not mark anybody as told."""


class CopyingRound(RoundScreen):
    """A round whose items are messages, each copied by one key and told by the next."""

    def __init__(self) -> None:
        """Make the round; nothing is copied yet."""
        super().__init__()
        self._card: TellCard | None = None
        self._copied: TellCard | None = None
        """The one whose message was copied and is not marked as told yet."""
        self._part = 0
        self._copied_at = 0.0
        self._although_quiet: set[int] = set()
        self._whenever_quiet = False
        self._plain = False
        """Whether short messages are written with plain letters in place of those that make them longer."""

    def main_action(self) -> None:
        """Copy, or go on."""
        self.action_copy()

    def action_copy(self) -> None:
        """Copy this message, or mark it told and copy the next."""
        self.walk(self._copy())

    async def _copy(self) -> None:
        item, card = self.item, self._card
        if item is None or card is None:
            return
        # What was copied counts, though the message may have been read anew since.
        pending = self._copied if self._copied is not None and self._copied.person_id == card.person_id else None
        if pending is not None and self._part < len(to_copy(pending)):
            self._copy_part(pending)
        elif pending is not None and monotonic() - self._copied_at < PASTE_SECONDS:
            self.say("That was too quick to have been pasted: the same key again when it is.")
        elif pending is not None:
            if await self._mark(pending):
                self._copied = None
                await self.finish()
                if self.has_open():
                    await self._copy_fresh("Told.", undoable=True)
        else:
            await self._copy_fresh()
        if self.item is not None:
            self._show_next(self.item)

    async def _copy_fresh(self, before: str = "", *, undoable: bool = False) -> None:
        item, card = self.item, self._card
        if item is None or card is None or item.step is not Step.OPEN:
            return
        if card.opted_out:
            self.say(f"{before} This one opted out of messages: nothing is copied.".strip(), undoable=undoable)
            return
        if not card.telling.claim_ids:
            self.say(f"{before} There is nothing to tell here any more.".strip(), undoable=undoable)
            return
        if self.desk.on_air:
            self.say(f"{before} {MESSAGE_ON_AIR}".strip(), undoable=undoable)
            return
        if card.quiet and not (self._whenever_quiet or card.person_id in self._although_quiet):
            if before:
                self.say(f"{before} The next one is held: {card.quiet}.", undoable=undoable)
            else:
                await self._ask_about_quiet(card)
            return
        self._copied, self._part = card, 0
        self._copy_part(card, before, undoable=undoable)

    async def _ask_about_quiet(self, card: TellCard) -> None:
        """In quiet hours nothing is copied but on purpose; the first choice leaves it for later."""
        sentence = f"{card.quiet[:1].upper()}{card.quiet[1:]}. You settled these hours; the message waits until then."
        choice = await self.pick("Copy it all the same?", QUIET_CHOICES, sentence)
        if choice == "later":
            await self.open_next()
        elif choice is not None:
            self._although_quiet.add(card.person_id)
            self._whenever_quiet = self._whenever_quiet or choice == "all"
            await self._copy_fresh()

    def _copy_part(self, card: TellCard, before: str = "", *, undoable: bool = False) -> None:
        parts = to_copy(card)
        said = copy_text(self.desk, parts[self._part])
        self._part += 1
        self._copied_at = monotonic()
        which = f"Part {self._part} of {len(parts)}." if len(parts) > 1 else ""
        if card.telling.message.subject:
            which = "The subject." if self._part == 1 else "The text."
        self.say(" ".join(part for part in (before, which, said) if part), undoable=undoable)

    def _show_next(self, item: Item) -> None:
        card = self._card
        self.query_one("#tell-next", Paragraph).show(next_words(card, item, self._copied, self._part))

    async def _mark(self, card: TellCard) -> bool:
        message = card.telling.message
        said = (card.channel, message.whole, message.templates)
        number = card.telling.number
        work = self.desk.call(mark_told, card.person_id, card.telling.claim_ids, *said, number=number)
        return await self.carry_out(work, *secrets_of(card)) is not None

    async def leaving(self) -> bool:
        """Ask whether the one copied last was told; never lose it silently."""
        copied = self._copied
        if copied is None:
            return True
        name = person_words(copied.name, copied.handle, copied.on_air_name)
        yes = await self.ask(
            Confirm(
                "Told up to here?",
                "The message to ",
                name,
                " was copied last.",
                yes="Yes: mark it as told",
                no="No: it stays",
            )
        )
        if yes and not await self._mark(copied):
            return False
        if yes:
            place = self._place_of(str(copied.person_id))
            self._items[place] = replace(self._items[place], step=Step.DONE)
        self._copied = None
        return True
