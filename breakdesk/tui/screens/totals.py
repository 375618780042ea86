"""The two totals: what the house owes people, and what makers owe the house."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final, cast

from textual.app import ComposeResult

from breakdesk.desk.totals import TotalsView, totals
from breakdesk.rules.maker_outlook import expected_words
from breakdesk.rules.totals import Line
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.totals_rows import flow_words, total_columns, total_rows, whole_words
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Provider, Row

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

SIDES: Final = ("house", "makers")
ROOMY: Final = 32
"""From this many lines on there is room for what is to be expected; the outlook has it, too."""


def _by(name: str, key: str, label: str, tooltip: str) -> Command:
    action = f"by('{name}')"
    return Command(id=f"totals.{name}", keys=(key,), label=label, tooltip=tooltip, context="totals", action=action)


COMMANDS = REGISTRY.add(
    _by("band", "b", "By age", "Count by how many days ago the cards were pulled."),
    _by("maker", "m", "By maker", "Count by maker."),
    _by("account", "a", "By account", "Count by maker and account."),
    _by("break", "k", "By break", "Count by the break in which the cards were pulled."),
    _by("months", "o", "Over time", "What was owed at the end of each month, what came and what went."),
    _by("flow", "c", "Came, went", "How many cards came from makers and went to people, month by month."),
    Command(
        id="totals.year",
        keys=("y",),
        label="Year sheet",
        tooltip="The sheet of a year: opening, added, closed, closing, money paid and cards held.",
        context="totals",
    ),
)


class TotalsScreen(DeskScreen):
    """Both debts in numbers."""

    TITLE_WORDS = "Totals"
    ABOUT = (
        "Two debts: above what your house owes people, below what makers owe your house. A card can be in both. Enter "
        "lists the claims behind a number; Tab goes from one debt to the other. A claim without a value is counted as "
        "one without a value, never as 0."
    )
    CONTEXT = "totals"
    ENTER_WORDS = "List"
    BINDINGS = bindings(COMMANDS)

    def __init__(self) -> None:
        """Make the screen, by age."""
        super().__init__()
        self._grouping = "band"
        self._view: TotalsView | None = None

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out one debt above the other."""
        for side in SIDES:
            yield Paragraph("", style="bold", id=f"totals-{side}-whole")
            yield LongList(total_columns("band", 80), empty="Nothing is owed.", id=f"totals-{side}")
        yield Paragraph("", style="$quiet", id="totals-expected")

    def on_mount(self) -> None:
        """Begin with what the house owes."""
        self.query_one("#totals-house").focus()

    def on_screen_resume(self) -> None:
        """Count anew."""
        self.read_anew(self._count, "add up what is owed")

    async def _count(self) -> None:
        self._view = await self.desk.call(totals)
        self._show(cursor=None)

    def on_resize(self) -> None:
        """Fit the bars to the width."""
        self._show(cursor=None)

    def _show(self, cursor: int | None) -> None:
        view = self._view
        if view is None:
            return
        for side in SIDES:
            rows = total_rows(view, side, self._grouping, self.size.width)
            shown = self.query_one(f"#totals-{side}", LongList)
            shown.set_columns(total_columns(self._grouping, self.size.width))
            shown.show(_provider(rows), len(rows), cursor=cursor)
            said = flow_words(side) if self._grouping == "flow" else whole_words(getattr(view, side))
            self.query_one(f"#totals-{side}-whole", Paragraph).show(said)
        expected = self.query_one("#totals-expected", Paragraph)
        expected.display = self.size.height >= ROOMY
        expected.show(expected_words(view.expected))

    def action_by(self, grouping: str) -> None:
        """Count in another way."""
        self._grouping = grouping
        self._show(cursor=0)

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """List the claims behind a number."""
        from breakdesk.tui.screens.backing import BackingScreen

        line = cast("Line", event.row.key)
        to_people = event.long_list.id == "totals-house"
        whose = "Owed to people" if to_people else "Owed by makers"
        if self._grouping == "flow":
            whose = "Went to people" if to_people else "Came from makers"
        unit = " days old" if self._grouping == "band" else ""
        self.app.push_screen(BackingScreen(f"{whose}: {line.name}{unit}", line.claims))

    def action_year(self) -> None:
        """Open the year sheet."""
        from breakdesk.tui.screens.year import YearScreen

        self.app.push_screen(YearScreen())


def _provider(rows: Sequence[Row]) -> Provider:
    return lambda offset, limit: rows[offset : offset + limit]
