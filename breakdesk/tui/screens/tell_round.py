"""The tell round: each participant's message, copied one after the other; told when the next one is copied."""

from __future__ import annotations

from textual.app import ComposeResult

from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Result
from breakdesk.desk.reaching import (
    CHANNEL_WORDS,
    TellCard,
    set_channel,
    tell_card,
)
from breakdesk.desk.telling import mark_told
from breakdesk.desk.viewing import today
from breakdesk.rules.sms import sms_words
from breakdesk.rules.wording import counted
from breakdesk.tui.commands import Command
from breakdesk.tui.dialogs import Confirm, Paragraph, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.screens.public_steps import show_public_list
from breakdesk.tui.screens.round_items import Item, person_item, round_commands
from breakdesk.tui.screens.tell_copying import CopyingRound
from breakdesk.tui.screens.tell_words import secrets_of, to_know
from breakdesk.tui.veiling import veiled
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.round_strip import Step
from breakdesk.tui.wording import day_words, person_words


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
    _command(
        "plain",
        "x",
        "Plain letters",
        "Write short messages with plain letters in place of those that make them longer, or as they were.",
        footer=False,
    ),
    _command("preview", "v", "Read", "Read the whole message.", footer=False),
    _command("public", "l", "Public list", "Post the news of all as one list: handles and cards only.", footer=False),
    _command("many", "w", "In bulk", "Write or send the messages of all who are due in one go.", footer=False),
)


class TellRound(CopyingRound):
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
        self._card = card = await self.desk.call(tell_card, item.person_id or 0, plain=self._plain)
        if card is None:
            return
        day = self.desk.today()
        told = item.step is Step.DONE
        message = card.telling.message
        cards = counted(len(card.telling.claim_ids), "card")
        parts = f", in {len(message.parts)} parts" if len(message.parts) > 1 else ""
        sms = f": {sms_words(message.sms)}" if message.sms else ""
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
            work = self.desk.call(_settle, card)
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
        if choice is None or choice == card.channel or not await self.leaving():
            return
        if await self.carry_out(self.desk.call(set_channel, card.person_id, choice), undoable=False):
            await self.reload()

    def action_plain(self) -> None:
        """Put plain letters in, or take them out again."""
        self.walk(self._switch_plain())

    async def _switch_plain(self) -> None:
        card = self._card
        if not self._plain and (card is None or card.telling.message.shorter is None):
            self.say("No letter makes this message longer.")
            return
        self._plain, self._copied = not self._plain, None
        await self.reload()
        self.say(
            "Short messages have plain letters now." if self._plain else "Short messages are as they were written."
        )

    def action_preview(self) -> None:
        """Read the message."""
        card = self._card
        if card is not None:
            text = veiled(card.telling.message.text, secrets_of(card))
            self.app.push_screen(ShowText("The message as it would be sent", text))

    def action_public(self) -> None:
        """Post the public list."""
        self.walk(self._public())

    async def _public(self) -> None:
        if await self.leaving() and await show_public_list(self):
            await self.reload()

    def action_many(self) -> None:
        """Write or send them in one go."""
        self.walk(self._many())

    async def _many(self) -> None:
        if await self.leaving():
            from breakdesk.tui.screens.bulk import BulkScreen

            self.app.push_screen(BulkScreen(due=True))


def _settle(desk: Desk, card: TellCard) -> Result:
    """Their news counts as settled although nothing is written to them."""
    telling = card.telling
    return mark_told(desk, card.person_id, telling.claim_ids, "none", "", number=telling.number)
