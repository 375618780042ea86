"""What a maker said about some claims: asked for in a few dialogs, and a list of its claims to choose them from."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from textual.app import ComposeResult

from breakdesk.desk.asking import ANSWER_WORDS, Answer, answer
from breakdesk.desk.describing import what_of
from breakdesk.desk.looking import look_order, turn_look_order
from breakdesk.desk.maker_page import ORDERS, waiting_claims
from breakdesk.desk.problems import Done
from breakdesk.rules.claim import ANSWER_DAYS, Claim
from breakdesk.rules.money import parse_money
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui import masking
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.day_entry import HINT, day_check, read_day
from breakdesk.tui.dialogs import AskText, Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.acting_screen import UNDO_KEYS, ActingScreen
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words

IN_HAND = "in_hand"
LONGEST_WAIT = 730
ORDER_WORDS = {"reference": "by reference", "date": "by day sent in", "name": "by name"}
COLUMNS = (
    Column(title="", width=1),
    Column(title="Reference", width=14, stretch=1),
    Column(title="Claim", width=8),
    Column(title="Card", width=16, stretch=2),
    Column(title="Sent in", width=15, priority=2, quiet=True),
    Column(title="Last said", width=20, priority=3, quiet=True),
)


def claim_row(claim: Claim, mark: str, said: str) -> Row:
    """A maker's claim as a row of its list."""
    cells = (
        mark,
        masking.reference(claim.reference),
        tag_words(claim.tag),
        what_of(claim),
        day_words(claim.submitted_on),
        said,
    )
    return Row(claim.tag, cells, "strong" if mark else "plain")


def last_said(claim: Claim) -> str:
    """What the maker said last about a claim, in the plain words."""
    if claim.state == "offered":
        return ANSWER_WORDS["offers"]
    if claim.answer:
        return ANSWER_WORDS[claim.answer]
    return "asked, no reply yet" if claim.last_asked_on else ""


async def take_answer(screen: ActingScreen, tags: Sequence[str], word: str | None = None) -> Done | None:
    """Asks what the maker said about some claims and records it; None where it was left or refused."""
    counted = tag_words(tags[0]) if len(tags) == 1 else f"{len(tags)} claims"
    if word is None:
        word = await screen.pick(f"What does the maker say about {counted}?", list(ANSWER_WORDS.items()))
    if word is None:
        return None
    request = await _details(screen, tags, word)
    return None if request is None else await screen.carry_out(screen.desk.call(answer, request))


async def _details(screen: ActingScreen, tags: Sequence[str], word: str) -> Answer | None:
    if word == "offers":
        return await ask_for_offer(screen, tags)
    tracking = days = None
    if word == "on_its_way":
        tracking = await screen.ask(AskText("Its tracking number?", "Enter alone if there is none.", secret=True))
        if tracking is None:
            return None
    if word in ANSWER_DAYS:
        usual = str(ANSWER_DAYS[word])
        hint = "Days from the ask; the usual number stands here."
        days = await screen.ask(AskText("Ask again after how many days?", hint, value=usual, check=_days_problem))
        if days is None:
            return None
    title = "Why does it refuse, in its own words?" if word == "refuses" else "Anything else it wrote?"
    note = await screen.ask(AskText(title, "Enter alone notes nothing."))
    if note is None:
        return None
    return Answer(
        tags=tags, word=word, note=note, days=int(days) if days else None, inbound_tracking=cast("str", tracking or "")
    )


async def ask_for_offer(screen: ActingScreen, tags: Sequence[str]) -> Answer | None:
    """Asks what the maker offers and until when; None where it was left."""
    whom = f" of {tag_words(tags[0])}" if len(tags) == 1 else ""
    offer = await screen.ask_words(f"What does it offer instead{whom}?", "The card as it describes it.")
    if offer is None:
        return None
    about = "Such as 40 or 40.00 EUR. Enter alone if nobody knows."
    worth = await screen.ask(AskText("What is that card worth?", about, check=_worth_problem))
    if worth is None:
        return None
    today = screen.desk.today()
    check = day_check(today, optional=True)
    reply = await screen.ask(
        AskText("By which day does it want an answer?", f"Enter alone if it named none. {HINT}", check=check)
    )
    if reply is None:
        return None
    reply_by = read_day(reply, today) if reply.strip() else None
    return Answer(tags=tags, word="offers", offer=offer, offer_value=worth, reply_by=reply_by)


def _worth_problem(text: str) -> str | None:
    if not text.strip():
        return None
    try:
        parse_money(text, "USD")
    except ValueError as error:
        return str(error)
    return None


def _days_problem(text: str) -> str | None:
    good = text.isdecimal() and len(text) <= 3 and 1 <= int(text) <= LONGEST_WAIT
    return None if good else f"Write 1 to {LONGEST_WAIT} days."


def _command(name: str, key: str, label: str, tooltip: str) -> Command:
    return Command(id=f"answers.{name}", keys=(key,), label=label, tooltip=tooltip, context="answers")


COMMANDS = REGISTRY.add(
    _command("mark", "space", "Mark", "Mark the claim under the cursor, or take the mark away."),
    _command("mark-all", "a", "Mark all", "Mark all claims, or take all marks away."),
    _command("enter-answer", "w", "What it said", "Say what the maker said about those marked (also the Enter key)."),
    _command("order", "s", "Order", "Change the order: by reference, by day sent in, by name."),
    Command(
        id="answers.undo",
        keys=UNDO_KEYS,
        label="Undo",
        tooltip="Undo an answer by name.",
        context="answers",
    ),
)


class AnswersScreen(ActingScreen):
    """A maker's claims, to say what it answered about some or all of them."""

    TITLE_WORDS = "What the maker said"
    ABOUT = (
        "All claims that wait at this maker. Mark those that its answer is about with Space, or all of them with a, "
        "then Enter. Without a mark the answer is about the one under the cursor."
    )
    CONTEXT = "answers"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, maker_id: int | None, maker: str) -> None:
        """Make the screen of one maker."""
        super().__init__()
        self._maker_id = maker_id
        self._maker = maker
        self._order = ORDERS[0]
        self._claims: tuple[Claim, ...] = ()
        self._marked: set[str] = set()

    def hidden(self) -> tuple[Secret, ...]:
        """The references."""
        return tuple(masking.reference(claim.reference) for claim in self._claims)

    def compose_body(self) -> ComposeResult:
        """Lay out the list."""
        yield Paragraph(id="answers-title", style="bold")
        yield LongList(COLUMNS, empty="Nothing waits at this maker.", id="answers-list")

    def on_screen_resume(self) -> None:
        """Read anew."""
        if not self.came_from_dialog():
            self.read_again()

    async def reload(self) -> None:
        """Read the maker's claims."""
        self._order = await self.desk.call(look_order, self._maker)
        self._claims = await self.desk.call(waiting_claims, self._maker_id, self._order)
        self._marked &= {claim.tag for claim in self._claims}
        self._show()
        self.query_one(LongList).focus()

    def _show(self) -> None:
        marked = f", {len(self._marked)} marked" if self._marked else ""
        title = f"{self._maker or 'No maker named'}: {len(self._claims)} waiting, {ORDER_WORDS[self._order]}{marked}."
        self.query_one("#answers-title", Paragraph).show(title)
        rows = [claim_row(claim, "✔" if claim.tag in self._marked else "", last_said(claim)) for claim in self._claims]
        self.query_one(LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))

    def action_mark(self) -> None:
        """Mark one."""
        row = self.query_one(LongList).current
        if row is not None:
            self._marked ^= {cast("str", row.key)}
            self._show()
            self.query_one(LongList).cursor += 1

    def action_mark_all(self) -> None:
        """Mark all."""
        everything = {claim.tag for claim in self._claims}
        self._marked = set() if self._marked == everything else everything
        self._show()

    def action_order(self) -> None:
        """Change the order."""
        self.walk(self._change_order())

    async def _change_order(self) -> None:
        await self.desk.call(turn_look_order, self._maker)
        await self.reload()

    def action_enter_answer(self) -> None:
        """Say what it said."""
        row = self.query_one(LongList).current
        tags = [claim.tag for claim in self._claims if claim.tag in self._marked]
        if not tags and row is not None:
            tags = [cast("str", row.key)]
        if tags:
            self.walk(self._answer(tags))

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Enter does the same."""
        self.action_enter_answer()

    async def _answer(self, tags: Sequence[str]) -> None:
        if await take_answer(self, tags) is not None:
            self._marked.clear()
            await self.reload()
