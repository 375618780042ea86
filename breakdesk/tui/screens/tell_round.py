"""The tell round: each participant's message, copied one after the other; told when the next one is copied."""

from __future__ import annotations

from dataclasses import replace
from time import monotonic

from textual.app import ComposeResult

from breakdesk.desk.reaching import (
    CHANNEL_WORDS,
    TellCard,
    set_channel,
    tell_card,
)
from breakdesk.desk.telling import mark_told
from breakdesk.desk.viewing import today
from breakdesk.rules.wording import counted
from breakdesk.tui.clipboard import MESSAGE_ON_AIR, copy_text
from breakdesk.tui.commands import Command
from breakdesk.tui.dialogs import Confirm, Paragraph, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.screens.round_base import RoundScreen
from breakdesk.tui.screens.round_items import Item, person_item, round_commands
from breakdesk.tui.screens.tell_words import QUIET_CHOICES, next_words, secrets_of, to_copy, to_know
from breakdesk.tui.veiling import veiled
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.round_strip import Step
from breakdesk.tui.wording import day_words, person_words

PASTE_SECONDS = 0.4
"""Nobody pastes faster: a key that is held down, or bounces, must not mark anybody as told."""


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(
        id=f"tell-round.{name}", keys=(key,), label=label, tooltip=tooltip, context="tell-round", footer=footer
    )


COMMANDS = round_commands(
    "tell-round",
    _command(
        "copy",
        "y",
        "Copy, then next",
        "Copy this message; the same key again marks it told and copies the next one (also the Enter key).",
    ),
    _command("told", "t", "Told", "Mark this one as told without copying anything.", footer=False),
    _command("channel", "c", "Channel", "Change the way in which this person is written to."),
    _command("preview", "v", "Read", "Read the whole message.", footer=False),
    _command("many", "w", "In bulk", "Write or send the messages of all who are due in one go.", footer=False),
)


class TellRound(RoundScreen):
    """Walks the participants who are to hear from the house."""

    TITLE_WORDS = "Tell"
    ABOUT = (
        "Who is to hear from you, with the message as it would be sent. y copies it; when you have pasted it, y marks "
        "it told, moves on and copies the next. Leaving asks about the last one. u takes any of them back."
    )
    CONTEXT = "tell-round"
    BINDINGS = bindings(COMMANDS)
    ROUND = "tell"
    ZERO = "Nobody is left to be told."

    def __init__(self) -> None:
        super().__init__()
        self._card: TellCard | None = None
        self._copied: TellCard | None = None
        """The one whose message was copied and is not marked as told yet."""
        self._part = 0
        self._copied_at = 0.0
        self._although_quiet: set[int] = set()
        self._whenever_quiet = False

    def compose_item(self) -> ComposeResult:
        """Give who it is, then the message."""
        yield Fields(id="tell-fields")
        yield Paragraph(id="tell-warning", style="$accent")
        yield Paragraph(id="tell-subject", style="bold")
        yield Paragraph(id="tell-message")

    def compose_below(self) -> ComposeResult:
        """Give the next step."""
        yield Paragraph(id="tell-next", style="bold $accent")

    async def read_items(self) -> list[Item]:
        """Read today's list."""
        view = await self.desk.call(today)
        return [person_item(line.person, line, on_air=self.desk.on_air) for line in view.today.tell]

    async def show_item(self, item: Item) -> None:
        """Show the person and the message."""
        self._card = card = await self.desk.call(tell_card, item.person_id or 0)
        if card is None:
            return
        day = self.desk.today()
        told = item.step is Step.DONE
        message = card.telling.message
        cards = counted(len(card.telling.claim_ids), "card")
        parts = f", in {len(message.parts)} parts" if len(message.parts) > 1 else ""
        sms = f", {len(message.sms.segments)} short messages" if message.sms else ""
        due = "told in this round" if told else f"due {day_words(item.data.due_on, day)}"
        opted_out = "opted out: never written to" if card.opted_out else ""
        self.query_one("#tell-fields", Fields).show(
            [
                Field("For", f"@{card.handle.lstrip('@')}" if card.handle else card.on_air_name, strong=True),
                Field("Name", person_words(card.name, card.handle, card.on_air_name)),
                Field("By", f"{CHANNEL_WORDS[card.channel]}, about {cards}{parts}{sms}", opted_out),
                Field("Last told", day_words(card.last_told_on, day), due),
            ]
        )
        known = "" if told else to_know(card)
        self.query_one("#tell-warning", Paragraph).show(veiled(known, secrets_of(card)))
        self.query_one("#tell-warning").display = bool(known)
        self.query_one("#tell-subject", Paragraph).show(veiled(message.subject or "", secrets_of(card)))
        self.query_one("#tell-subject").display = bool(message.subject)
        text = "" if told or not card.telling.claim_ids else message.text
        self.query_one("#tell-message", Paragraph).show(veiled(text, secrets_of(card)))
        self._show_next(item)

    def _show_next(self, item: Item) -> None:
        card = self._card
        self.query_one("#tell-next", Paragraph).show(next_words(card, item, self._copied, self._part))

    # Copying first

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
        pending = self._copied is not None and self._copied.person_id == card.person_id
        if pending and self._part < len(to_copy(card)):
            self._copy_part(card)
        elif pending and monotonic() - self._copied_at < PASTE_SECONDS:
            self.say("That was too quick to have been pasted: the same key again when it is.")
        elif pending:
            if await self._mark(card):
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

    async def _mark(self, card: TellCard) -> bool:
        message = card.telling.message
        work = self.desk.call(
            mark_told, card.person_id, card.telling.claim_ids, card.channel, message.whole, message.templates
        )
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

    # The rest

    def action_told(self) -> None:
        """Mark as told."""
        self.walk(self._told())

    async def _told(self) -> None:
        item, card = self.item, self._card
        if item is None or card is None or item.step is not Step.OPEN:
            return
        if card.opted_out and not await self.ask(
            Confirm(
                "Settle their news without a message?",
                "They opted out of messages. Their news counts as settled, and the history says that none was sent.",
                yes="Settle it without a message",
            )
        ):
            return
        if card.opted_out:
            work = self.desk.call(mark_told, card.person_id, card.telling.claim_ids, "none", "")
            done = await self.carry_out(work, *secrets_of(card)) is not None
        else:
            done = await self._mark(card)
        if done:
            self._copied = None
            await self.finish()

    def action_channel(self) -> None:
        """Change the channel."""
        self.walk(self._channel())

    async def _channel(self) -> None:
        card = self._card
        if card is None:
            return
        choice = await self.pick("How is this person written to?", list(CHANNEL_WORDS.items()))
        if choice is not None and choice != card.channel:
            self._copied = None
            if await self.carry_out(self.desk.call(set_channel, card.person_id, choice), undoable=False):
                await self.reload()

    def action_preview(self) -> None:
        """Read the message."""
        card = self._card
        if card is not None:
            text = veiled(card.telling.message.text, secrets_of(card))
            self.app.push_screen(ShowText("The message as it would be sent", text))

    def action_many(self) -> None:
        """Write or send them in one go."""
        self.walk(self._many())

    async def _many(self) -> None:
        if await self.leaving():
            from breakdesk.tui.screens.bulk import BulkScreen

            self.app.push_screen(BulkScreen(due=True))
