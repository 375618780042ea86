"""Ending a break: how many claims are on screen, how many cards on the pile, and which one is odd."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult

from breakdesk.desk.breaks import Caught
from breakdesk.desk.describing import what_of
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import counted
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.screens.catch_words import caught_owner, clock_words
from breakdesk.tui.widgets.big_handle import BigHandle
from breakdesk.tui.widgets.fields import Field, Fields

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk


def _command(name: str, key: str, label: str, tooltip: str) -> Command:
    return Command(id=f"pile.{name}", keys=(key,), label=label, tooltip=tooltip, context="pile")


COMMANDS = REGISTRY.add(
    _command("here", "space", "It is here", "The next card on the pile is this one."),
    _command("missing", "m", "Not on the pile", "This claim's card does not lie where it should."),
    _command("extra", "x", "Another card", "A card lies here that is not on screen."),
    _command("back", "b", "One back", "Go back to the claim before."),
    _command("turn", "t", "From the other end", "Walk the pile from its other end, from the first claim again."),
    _command("end", "e", "End the night", "End the break with what was found."),
)


class PileScreen(DeskScreen):
    """Walks the pile of claim cards in the order in which they were pulled."""

    TITLE_WORDS = "The pile"
    ABOUT = (
        "The claim cards of the break, in the order in which they were pulled. Take them from the pile one by one: "
        "Space where the next card is the one shown, m where it is missing, x where another card lies there."
    )
    CONTEXT = "pile"
    BINDINGS = bindings(COMMANDS)

    def __init__(self, claims: Sequence[Caught], counted: int, ended: Callable[[str], None]) -> None:
        """Make the screen: claims in the order pulled; `ended` is told in a sentence what was found."""
        super().__init__()
        self._claims = list(claims)
        self._counted = counted
        self._ended = ended
        self._place = 0
        self._missing: set[int] = set()
        self._extra: list[str] = []

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the count, the tag in large, and the card."""
        yield Paragraph(id="pile-count", style="bold")
        yield BigHandle(id="pile-tag")
        yield Fields(id="pile-card")
        yield Paragraph(id="pile-found", style="$accent")

    def on_mount(self) -> None:
        """Show the first claim."""
        self._show()

    @property
    def _current(self) -> Caught | None:
        return self._claims[self._place] if self._place < len(self._claims) else None

    def _show(self) -> None:
        count, known = self._counted, len(self._claims)
        on_screen = f"{known} on screen, {count} on the pile."
        item = self._current
        where = f"Card {self._place + 1} of {known}: is it the next one?" if item else "The end of the list."
        self.query_one("#pile-count", Paragraph).show(f"{on_screen} {where}")
        fields: list[Field] = []
        if item is not None:
            house = self.desk.house.name
            fields = [
                Field("Card", what_of(item.claim), strong=True),
                Field("For", caught_owner(item, house)),
                Field("Video", clock_words(item.claim.video_seconds)),
            ]
        tag = "" if item is None else tag_words(item.claim.tag)
        self.query_one("#pile-tag", BigHandle).show(tag, "the tag on its sleeve" if tag else "")
        self.query_one("#pile-card", Fields).show(fields)
        found = self._found()
        ends = f"{found} e ends the night." if found and (item is None or "explains" in found) else found
        self.query_one("#pile-found", Paragraph).show(ends)

    def _found(self) -> str:
        tags = [tag_words(item.claim.tag) for item in self._claims if item.claim.id in self._missing]
        said = [f"Not on the pile: {', '.join(tags)}."] if tags else []
        if self._extra:
            said.append(f"Not on screen: a card after {', after '.join(self._extra)}. Type it in on Catch.")
        left = self._counted - (len(self._claims) - len(tags) + len(self._extra))
        if not left and said:
            said.append("That explains the count.")
        elif left > 0 and self._current is None:
            said.append(f"{counted(left, 'card')} more on the pile than on screen: x for each that is there.")
        elif self._current is None and not said:
            said.append("Every card was there, so the count was wrong.")
        return " ".join(said)

    def _step(self, by: int = 1) -> None:
        self._place = max(0, min(len(self._claims), self._place + by))
        self._show()

    def action_here(self) -> None:
        """The card is there."""
        item = self._current
        if item is not None:
            self._missing.discard(item.claim.id)
            self._step()

    def action_missing(self) -> None:
        """The card is not there."""
        item = self._current
        if item is not None:
            self._missing.add(item.claim.id)
            self._step()

    def action_extra(self) -> None:
        """Another card is there."""
        before = self._claims[self._place - 1].claim.tag if 0 < self._place <= len(self._claims) else ""
        self._extra.append(tag_words(before) if before else "the beginning")
        self._show()

    def action_back(self) -> None:
        """One back."""
        self._step(-1)

    def action_turn(self) -> None:
        """From the other end."""
        self._claims.reverse()
        self._place = 0
        self._show()

    def action_end(self) -> None:
        """Go back with what was found."""
        self._ended(self._found())
        self.desk.pop_screen()
