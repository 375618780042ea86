"""The look: a maker's claims in the order of its status page; only those that moved are keyed."""

from __future__ import annotations

from typing import cast

from textual.app import ComposeResult

from breakdesk.desk.arriving import InHand, in_hand
from breakdesk.desk.asking import ANSWER_WORDS
from breakdesk.desk.looking import look, look_order, match_page, turn_look_order
from breakdesk.desk.maker_page import ORDERS, MakerToLook, makers_to_look, waiting_claims
from breakdesk.desk.problems import Problem
from breakdesk.rules.claim import Claim
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui import masking
from breakdesk.tui.commands import Command
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.masking import Secret
from breakdesk.tui.screens.maker_answers import (
    COLUMNS,
    IN_HAND,
    ORDER_WORDS,
    claim_row,
    last_said,
    take_answer,
)
from breakdesk.tui.screens.round_base import RoundScreen
from breakdesk.tui.screens.round_items import Item, round_commands
from breakdesk.tui.widgets.fields import Field, Fields
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.round_strip import Step
from breakdesk.tui.wording import day_words

MOVED_WORDS = {**ANSWER_WORDS, IN_HAND: "the card is here"}


def _command(name: str, key: str, label: str, tooltip: str, *, footer: bool = True) -> Command:
    return Command(
        id=f"look-round.{name}", keys=(key,), label=label, tooltip=tooltip, context="look-round", footer=footer
    )


COMMANDS = round_commands(
    "look-round",
    _command("unchanged", "r", "Rest unchanged", "Record the look: all that were not keyed stand as before."),
    _command("moved", "m", "This one moved", "Say what the page says of the one under the cursor (also Enter)."),
    _command("page", "v", "Paste the page", "Paste the page's whole text: it is compared before anything is saved."),
    _command("order", "s", "Order", "Change the order: by reference, by day sent in, by name."),
    without=("park",),
)


class LookRound(RoundScreen):
    """Walks the makers' status pages."""

    TITLE_WORDS = "Look"
    ABOUT = (
        "A maker's claims in the order of its status page. Enter says what moved; r records that all the others stand "
        "as before. With v the page's text is pasted and compared instead. Looking is free, is kept in the history, "
        "and is never an ask."
    )
    CONTEXT = "look-round"
    BINDINGS = bindings(COMMANDS)
    ROUND = "look"
    ZERO = "All makers were looked at."

    def __init__(self) -> None:
        super().__init__()
        self._order = ORDERS[0]
        self._claims: tuple[Claim, ...] = ()
        self._moved: dict[str, str] = {}
        self._maker_id: int | None = None

    def compose_item(self) -> ComposeResult:
        """Give the maker."""
        yield Fields(id="look-fields")

    def compose_below(self) -> ComposeResult:
        """Give the maker's claims, and the next step."""
        yield LongList(COLUMNS, empty="Nothing waits at this maker.", id="look-list")
        yield Paragraph(id="look-next", style="bold $accent")

    async def read_items(self) -> list[Item]:
        """Read the makers; those looked at today are done."""
        day = self.desk.today()
        return [
            Item(
                key=str(maker.maker_id),
                label=maker.name,
                data=maker,
                names=maker.name,
                step=Step.DONE if maker.looked_on == day else Step.OPEN,
            )
            for maker in await self.desk.call(makers_to_look)
        ]

    async def show_item(self, item: Item) -> None:
        """Show the maker's claims."""
        maker: MakerToLook = item.data
        if self._maker_id != maker.maker_id:
            self._maker_id, self._moved = maker.maker_id, {}
        self._order = await self.desk.call(look_order, maker.name)
        claims = await self.desk.call(waiting_claims, maker.maker_id, self._order)
        known = {claim.tag: claim for claim in claims}
        # What moved away stays in sight with its word, so that the page and the list stay side by side.
        gone = [claim for claim in self._claims if claim.tag in self._moved and claim.tag not in known]
        self._claims = (*claims, *gone) if gone else claims
        self._show_list(item)
        self.query_one(LongList).focus()

    def _show_list(self, item: Item) -> None:
        maker: MakerToLook = item.data
        today = self.desk.today()
        self.query_one("#look-fields", Fields).show(
            [
                Field("Maker", maker.name, strong=True),
                Field("Looked", day_words(maker.looked_on, today) if maker.looked_on else "never yet"),
                Field("Waiting", f"{len(self._claims)}, {ORDER_WORDS[self._order]}"),
            ]
        )
        rows = [
            claim_row(claim, "✔" if claim.tag in self._moved else "", self._moved.get(claim.tag) or last_said(claim))
            for claim in self._claims
        ]
        self.query_one(LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        rest = len(self._claims) - len(self._moved)
        words = f"{len(self._moved)} moved. " if self._moved else ""
        self.query_one("#look-next", Paragraph).show(
            f"{words}Enter says what moved; r: the other {rest} are unchanged; v: paste the page."
        )

    def hidden(self) -> tuple[Secret, ...]:
        """The references."""
        return tuple(masking.reference(claim.reference) for claim in self._claims if claim.reference)

    def main_action(self) -> None:
        """Say what moved."""
        self.action_moved()

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Enter says what moved."""
        self.action_moved()

    def action_moved(self) -> None:
        """Say what moved."""
        row = self.query_one(LongList).current
        if row is not None:
            self.walk(self._move(cast("str", row.key)))

    async def _move(self, tag: str) -> None:
        word = await self.pick(f"What does the page say of {tag_words(tag)}?", list(MOVED_WORDS.items()))
        if word is None:
            return
        if word == IN_HAND:
            done = await self.carry_out(self.desk.call(in_hand, InHand(tag=tag)))
        else:
            done = await take_answer(self, [tag], word)
        if done is not None and self.item is not None:
            self._moved[tag] = MOVED_WORDS[word]
            await self.show_item(self.item)

    def action_order(self) -> None:
        """Change the order."""
        self.walk(self._change_order())

    async def _change_order(self) -> None:
        if self.item is not None:
            await self.desk.call(turn_look_order, self.item.data.name)
            await self.show_item(self.item)

    def action_page(self) -> None:
        """Paste the page."""
        self.walk(self._paste())

    async def _paste(self) -> None:
        from breakdesk.tui.screens.catch_page import AskPage
        from breakdesk.tui.screens.page_look import PageScreen

        if self.item is None:
            return
        maker: MakerToLook = self.item.data
        page = await self.ask(
            AskPage(
                f"The text of {maker.name}'s page",
                "Copy the whole page in your browser, paste it here and press F12. You see what differs before "
                "anything is saved.",
                secret=True,
            )
        )
        if page is None or not page.strip():
            return
        found = await self.desk.call(match_page, maker.name, page)
        if isinstance(found, Problem):
            self.say(found.sentence)
        else:
            self.app.push_screen(PageScreen(maker.name, found, self.keep_done))

    def action_unchanged(self) -> None:
        """Record the look."""
        self.walk(self._unchanged())

    async def _unchanged(self) -> None:
        item = self.item
        if item is None:
            return
        maker: MakerToLook = item.data
        rest = [claim.tag for claim in self._claims if claim.tag not in self._moved]
        work = self.desk.call(look, maker.name, rest, len(self._moved))
        if await self.carry_out(work, undoable=False) is not None:
            self._moved = {}
            await self.finish()

    def action_story(self) -> None:
        """Open the story of the claim under the cursor."""
        from breakdesk.tui.screens.claim import ClaimScreen

        row = self.query_one(LongList).current
        if row is not None:
            self.app.push_screen(ClaimScreen(cast("str", row.key)))
