"""The ask round: one polite message a maker, held while its office is closed, and what it answered."""

from __future__ import annotations

from dataclasses import dataclass

from textual.app import ComposeResult

from breakdesk.desk.ask_messages import AskDraft, ask_draft
from breakdesk.desk.asking import ask, drop_held, send_held
from breakdesk.desk.maker_page import HeldMessage, held_messages
from breakdesk.desk.summary import moment_words
from breakdesk.desk.viewing import today
from breakdesk.rules.claim import Listed
from breakdesk.rules.rounds.items import MakerToAsk
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import age_words, counted
from breakdesk.tui import masking
from breakdesk.tui.clipboard import MESSAGE_ON_AIR, copy_text
from breakdesk.tui.commands import Command
from breakdesk.tui.dialogs import Confirm, Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.ask_ways import send_by_mail, write_file
from breakdesk.tui.screens.maker_answers import AnswersScreen
from breakdesk.tui.screens.round_base import RoundScreen
from breakdesk.tui.screens.round_items import Item, round_commands
from breakdesk.tui.veiling import veiled
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.round_strip import Step
from breakdesk.tui.wording import day_words


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(
        id=f"ask-round.{name}", keys=(key,), label=label, tooltip=tooltip, context="ask-round", footer=footer
    )


COMMANDS = round_commands(
    "ask-round",
    _command("copy", "y", "Copy", "Copy the message (Enter copies it, then records that it was sent)."),
    _command("sent", "s", "Sent", "Record that the message was sent; while the office is closed it is held."),
    _command(
        "mail",
        "m",
        "E-mail",
        "Send the message by your own mail server; each that it takes is an ask.",
        footer=False,
    ),
    _command("file", "f", "Write file", "Write the message into a file, to be sent by another program.", footer=False),
    _command("answer", "w", "What it said", "Say what the maker answered about some or all of its claims."),
    _command("drop", "x", "Drop", "Throw a held message away; its claims may be asked about again.", footer=False),
    _command("look", "l", "Look", "Look at the makers' status pages: free at any time.", footer=False),
)


@dataclass(frozen=True, slots=True)
class _Shown:
    """The message that is open, with what it names."""

    text: str
    subject: str
    contact: str
    claims: tuple[Listed, ...]
    left_over: int


class AskRound(RoundScreen):
    """Walks the makers that may be asked."""

    TITLE_WORDS = "Ask"
    ABOUT = (
        "Makers with claims that may be asked about, one message each. Copy it, send it the way you always do, then s "
        "records the ask; while the office is closed the message is held and offered again at opening."
    )
    CONTEXT = "ask-round"
    NEEDS_NO_ITEM = frozenset({"undo", "look"})
    BINDINGS = bindings(COMMANDS)
    ROUND = "ask"
    ZERO = "No maker is left to be asked."

    def __init__(self) -> None:
        super().__init__()
        self._shown: _Shown | None = None
        self._copied = ""

    def compose_item(self) -> ComposeResult:
        """Give the maker and the message."""
        yield Fields(id="ask-fields")
        yield Paragraph(id="ask-subject", style="bold")
        yield Paragraph(id="ask-message")

    def compose_below(self) -> ComposeResult:
        """Give the next step."""
        yield Paragraph(id="ask-next", style="bold $accent")

    async def read_items(self) -> list[Item]:
        """Read held messages that could go now, then the makers, then what has to wait."""
        view = await self.desk.call(today)
        held = [self._held_item(message) for message in await self.desk.call(held_messages)]
        makers = [
            Item(
                key=f"maker {line.maker.id}",
                label=line.maker.name or "No maker named",
                data=line,
                park_ids=tuple(item.claim.id for item in line.claims),
                names=line.maker.name or "",
            )
            for line in view.today.ask
        ]
        ready = [item for item in held if item.step is Step.OPEN]
        return [*ready, *makers, *(item for item in held if item.step is not Step.OPEN)]

    @staticmethod
    def _held_item(message: HeldMessage) -> Item:
        return Item(
            key=f"held {message.held.id}",
            label=f"held: {message.held.maker or 'no maker'}",
            data=message,
            names=f"held {message.held.maker}",
            step=Step.OPEN if message.open_now else Step.PARKED,
        )

    async def show_item(self, item: Item) -> None:
        """Show the maker, its office and the message."""
        if item.step is Step.DONE:
            self._shown = None
            self._show_parts([Field("Maker", item.label, strong=True)], "Done with in this round.")
        elif isinstance(item.data, HeldMessage):
            self._show_held(item.data)
        else:
            await self._show_maker(item.data)

    async def _show_maker(self, line: MakerToAsk) -> None:
        draft: AskDraft = await self.desk.call(ask_draft, [item.claim for item in line.claims])
        message = draft.message
        self._shown = _Shown(message.text, message.subject or "", draft.contact, draft.claims, draft.left_over)
        oldest = max(line.claims, key=lambda item: item.age.days)
        more = f"{draft.left_over} more in the next message" if draft.left_over else ""
        fields = [
            Field("Maker", draft.maker or "No maker named", strong=True),
            Field("Office", self._office(line), ""),
            Field("Write to", masking.email(draft.contact)),
            Field("About", counted(len(draft.claims), "claim"), more),
            Field("Longest", f"{tag_words(oldest.claim.tag)}, waiting {age_words(oldest.age)}"),
        ]
        copied = self._copied == f"maker {line.maker.id}"
        after = "records the ask" if line.open_now else "holds it until the office opens"
        self._show_parts(fields, f"Send it, then Enter {after}." if copied else "Enter copies this message.")

    def _office(self, line: MakerToAsk) -> str:
        if line.open_now or line.opens_at is None:
            return "open now"
        return f"closed; opens {moment_words(line.opens_at, self._zone())} your time"

    def _zone(self) -> str:
        return self.desk.house.zone_at(self.desk.now())

    def _show_held(self, message: HeldMessage) -> None:
        held = message.held
        self._shown = _Shown(held.text, "", held.contact, held.claims, 0)
        opens = "" if message.opens_at is None else moment_words(message.opens_at, self._zone())
        fields = [
            Field("Maker", held.maker or "No maker named", "held", strong=True),
            Field("Office", "open now" if message.open_now else f"closed; opens {opens} your time"),
            Field("Written", day_words(held.written_on, self.desk.today())),
            Field("About", counted(len(held.claims), "claim")),
        ]
        now = "The office is open: send it, then Enter records the ask."
        self._show_parts(fields, now if message.open_now else f"It waits until {opens}. x drops it.")

    def _show_parts(self, fields: list[Field], following: str) -> None:
        shown = self._shown
        self.query_one("#ask-fields", Fields).show(fields)
        self.query_one("#ask-subject", Paragraph).show(veiled(shown.subject, self.hidden()) if shown else "")
        self.query_one("#ask-message", Paragraph).show(veiled(shown.text, self.hidden()) if shown else "")
        self.query_one("#ask-subject").display = bool(shown and shown.subject)
        self.query_one("#ask-next", Paragraph).show(following)

    def hidden(self) -> tuple[Secret, ...]:
        """The references in the message."""
        claims = self._shown.claims if self._shown else ()
        return tuple(masking.reference(claim.reference) for claim in claims if claim.reference)

    # Doing one

    def main_action(self) -> None:
        """Copy first, then record."""
        item = self.item
        if item is None or item.step is not Step.OPEN:
            return
        if self._copied == item.key or isinstance(item.data, HeldMessage):
            self.action_sent()
        else:
            self.action_copy()

    def action_copy(self) -> None:
        """Copy the message."""
        item = self.item
        if self.desk.on_air:
            self.say(MESSAGE_ON_AIR)
        elif item is not None and self._shown is not None:
            head = f"Subject: {self._shown.subject}\n\n" if self._shown.subject else ""
            self.say(copy_text(self.desk, head + self._shown.text))
            self._copied = item.key
            self.walk(self.show_item(item))

    def action_sent(self) -> None:
        """Record the ask."""
        self.walk(self._sent())

    async def _sent(self) -> None:
        item, shown = self.item, self._shown
        if item is None or shown is None or item.step is Step.DONE:
            return
        if isinstance(item.data, HeldMessage):
            work = self.desk.call(send_held, item.data.held.id)
        else:
            work = self.desk.call(ask, [claim.tag for claim in shown.claims], shown.text)
        if await self.carry_out(work) is not None:
            self._copied = ""
            await self.go_on(stay=True)

    def action_file(self) -> None:
        """Write it into a file."""
        if self._shown is not None:
            self.walk(write_file(self, self._shown.claims))

    def action_mail(self) -> None:
        """Send it by the house's mail server."""
        self.walk(self._mail())

    async def _mail(self) -> None:
        item, shown = self.item, self._shown
        if item is None or shown is None or item.step is Step.DONE:
            return
        held = item.data.held.id if isinstance(item.data, HeldMessage) else None
        done = await send_by_mail(self, shown.claims, held, shown.contact, open_now=item.data.open_now)
        if done is not None:
            self._copied = ""
            await self.go_on(stay=True)

    def action_drop(self) -> None:
        """Drop a held message."""
        self.walk(self._drop())

    async def _drop(self) -> None:
        item = self.item
        if item is None or not isinstance(item.data, HeldMessage) or item.step is Step.DONE:
            self.say("Only a held message can be dropped.")
            return
        sure = await self.ask(
            Confirm("Drop this message?", "Its claims may be asked about again.", yes="Drop it", no="Keep it held")
        )
        if sure and await self.carry_out(self.desk.call(drop_held, item.data.held.id)) is not None:
            await self.go_on()

    def action_answer(self) -> None:
        """Say what the maker answered."""
        item = self.item
        if item is None:
            return
        if isinstance(item.data, HeldMessage):
            maker_id, maker = item.data.held.maker_id, item.data.held.maker
        else:
            maker_id, maker = item.data.maker.id, item.data.maker.name or ""
        self.app.push_screen(AnswersScreen(maker_id, maker))

    def action_look(self) -> None:
        """Open the look."""
        from breakdesk.tui.screens.look_round import LookRound

        self.app.push_screen(LookRound())
