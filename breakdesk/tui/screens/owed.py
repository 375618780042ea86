"""Owed: everybody who is owed a card, and how long they have waited."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult

from breakdesk.desk.listing import OwedRow, count_owed, owed_rows
from breakdesk.rules.days import age
from breakdesk.rules.wording import age_words
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words, handle_words, person_words, values_words

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

COMMANDS = REGISTRY.add(
    Command(
        id="owed.totals",
        keys=("t",),
        label="Totals",
        tooltip="What the house owes people and what makers owe the house, by age and maker.",
        context="owed",
    ),
    Command(
        id="owed.claims",
        keys=("c",),
        label="All claims",
        tooltip="Every claim in the desk, the latest pull first, whatever became of it.",
        context="owed",
    ),
    Command(
        id="owed.find",
        keys=("slash",),
        label="Find",
        tooltip="Find a person, a claim or a card by the first letters.",
        context="owed",
        action="go_search",
    ),
)


class OwedScreen(DeskScreen):
    """Participants who are owed something."""

    TITLE_WORDS = "Owed"
    ABOUT = "Everybody who is owed a card. Enter opens one person with everything owed to them."
    CONTEXT = "owed"
    ENTER_WORDS = "Open"
    BINDINGS = bindings(COMMANDS)

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the list."""
        yield LongList(
            [
                Column(title="Participant", width=15, stretch=2),
                Column(title="Handle", width=14, stretch=1, quiet=True, priority=4),
                Column(title="Cards", width=5, right=True),
                Column(title="Longest wait", width=18, right=True),
                Column(title="Value", width=14, right=True, stretch=1, priority=3),
                Column(title="Last told", width=14, priority=5, quiet=True),
                Column(title="Next due", width=15, priority=2),
            ],
            empty="Nobody is owed a card. F3 writes claims down as they are pulled; o on Today loads a list of them.",
            id="owed-list",
        )

    def on_screen_resume(self) -> None:
        """Count and show anew."""
        self.read_anew(self._show, "list who is owed")

    async def _show(self) -> None:
        count = await self.desk.call(count_owed)
        self.query_one(LongList).show(self._rows, count)

    async def _rows(self, offset: int, limit: int) -> Sequence[Row]:
        return [self._row(item) for item in await self.desk.call(owed_rows, offset, limit)]

    def _row(self, item: OwedRow) -> Row:
        today = self.desk.today()
        late = item.tell_due_on is not None and item.tell_due_on <= today
        due = "now" if late else day_words(item.tell_due_on, today)
        return Row(
            item.person_id,
            (
                person_words(item.name, item.handle, item.on_air_name),
                handle_words(item.handle),
                f"{item.claims:,}",
                age_words(age(min(item.oldest_pull, today), today)),
                values_words(item.values),
                day_words(item.last_told_on, today),
                "on hold" if item.on_hold else due,
            ),
            "strong" if late else "plain",
        )

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Open a person."""
        from breakdesk.tui.screens.person import PersonScreen

        self.app.push_screen(PersonScreen(cast("int", event.row.key)))

    def action_go_search(self) -> None:
        """Go to the search."""
        self.desk.action_go("search")

    def action_totals(self) -> None:
        """Open the totals."""
        from breakdesk.tui.screens.totals import TotalsScreen

        self.app.push_screen(TotalsScreen())

    def action_claims(self) -> None:
        """Open the list of all claims."""
        from breakdesk.tui.screens.claims import ClaimsScreen

        self.app.push_screen(ClaimsScreen())
