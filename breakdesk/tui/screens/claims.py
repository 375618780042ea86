"""Every claim in the desk, in one list of any length."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult

from breakdesk.desk.listing import ClaimRow, card_words, claim_rows, count_claims
from breakdesk.rules.tags import shown as tag_words
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import owner_words, short_state

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk


class ClaimsScreen(DeskScreen):
    """All claims, the latest pull first."""

    TITLE_WORDS = "All claims"
    ABOUT = (
        "Every claim, the latest pull first, whatever became of it. Home and End go to both ends, Enter opens the "
        "story of the claim under the cursor."
    )
    CONTEXT = "claims"
    ENTER_WORDS = "Open"

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the list."""
        yield LongList(
            [
                Column(title="Claim", width=8),
                Column(title="Pulled", width=11, right=True),
                Column(title="Card", width=20, stretch=3),
                Column(title="For", width=14, stretch=2),
                Column(title="Where it is", width=14),
                Column(title="Product", width=16, stretch=1, priority=3, quiet=True),
            ],
            empty="No claim is in the desk yet.",
            id="claims-list",
        )

    def on_mount(self) -> None:
        """Put the cursor on the list."""
        self.query_one(LongList).focus()

    def on_screen_resume(self) -> None:
        """Count and show anew."""
        self.read_anew(self._show, "list all claims")

    async def _show(self) -> None:
        self.query_one(LongList).show(self._rows, await self.desk.call(count_claims))

    async def _rows(self, offset: int, limit: int) -> Sequence[Row]:
        return [self._row(item) for item in await self.desk.call(claim_rows, offset, limit)]

    def _row(self, item: ClaimRow) -> Row:
        owner = owner_words(
            item.owner_kind, item.owner_name, item.owner_handle, item.owner_on_air, self.desk.house.name
        )
        pulled = f"{item.pull_day.day} {item.pull_day:%b %Y}"
        where = short_state(item.state, item.closed_how)
        tone = "quiet" if item.state in ("closed", "void") else "plain"
        return Row(item.tag, (tag_words(item.tag), pulled, card_words(item), owner, where, item.product), tone)

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Open a claim's story."""
        from breakdesk.tui.screens.claim import ClaimScreen

        self.app.push_screen(ClaimScreen(cast("str", event.row.key)))
