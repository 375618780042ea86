"""The list behind a number: every claim that was counted in it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from textual.app import ComposeResult

from breakdesk.desk.describing import what_of
from breakdesk.rules.claim import Claim
from breakdesk.rules.days import age
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import age_words
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import short_state, values_words


class BackingScreen(DeskScreen):
    """The claims behind one number."""

    TITLE_WORDS = "Behind the number"
    ABOUT = "Every claim that was counted in the number that you came from. Enter opens the story of one."
    CONTEXT = "backing"
    ENTER_WORDS = "Open"
    BINDINGS = bindings(())

    def __init__(self, title: str, claims: Sequence[Claim]) -> None:
        """Make the screen of some claims; `title` says what was counted."""
        super().__init__()
        self._what = title
        self._claims = sorted(claims, key=lambda claim: (claim.pull_day, claim.tag))

    def compose_body(self) -> ComposeResult:
        """Lay out what was counted above the list."""
        yield Paragraph(self._what, style="bold", id="backing-what")
        yield LongList(
            [
                Column(title="Claim", width=8),
                Column(title="Card", width=20, stretch=2),
                Column(title="Where it is", width=14),
                Column(title="Since the pull", width=19, right=True),
                Column(title="Value", width=12, right=True, priority=2),
            ],
            empty="No claim.",
            id="backing-list",
        )

    def on_mount(self) -> None:
        """Show the claims."""
        claims = self.query_one(LongList)
        claims.show(
            lambda offset, limit: [self._row(claim) for claim in self._claims[offset : offset + limit]],
            len(self._claims),
        )
        claims.focus()

    def _row(self, claim: Claim) -> Row:
        today = self.desk_app.today()
        value = [(claim.currency, claim.value)] if claim.value is not None and claim.currency is not None else []
        waited = age_words(age(min(claim.pull_day, today), today))
        state = short_state(claim.state, claim.closed_how or "")
        return Row(claim.tag, (tag_words(claim.tag), what_of(claim), state, waited, values_words(value)))

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Open a claim's story."""
        from breakdesk.tui.screens.claim import ClaimScreen

        self.app.push_screen(ClaimScreen(cast("str", event.row.key)))
