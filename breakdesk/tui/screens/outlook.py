"""The outlook: how long makers took so far, drawn and in numbers. A look back, never a promise."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final, cast

from textual.app import ComposeResult
from textual.screen import Screen

from breakdesk.desk.curve_drawing import TOO_FAR, draw_curve, legend
from breakdesk.desk.outlook import outlook
from breakdesk.rules.maker_outlook import MakerOutlook, expected_words, total_expected
from breakdesk.rules.outlook import POOLED_BELOW, ExpectedArrivals
from breakdesk.tui.clipboard import copy_text
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import Paragraph, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.curve import CurvePicture
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

NOTHING_YET: Final = "No card was submitted yet. The outlook begins with the first that is."
MAKERS_IN_SIGHT: Final = (2, 12)
"""The fewest and the most makers that the list shows at a time."""
BESIDE_THE_MAKERS: Final = 19
"""Lines that sentence, curve, head and foot need."""
ROOMY: Final = 34

COMMANDS = REGISTRY.add(
    Command(
        id="outlook.copy",
        keys=("y",),
        label="Copy sentence",
        tooltip="Copy the sentence that a customer understands, for a card submitted today.",
        context="outlook",
    ),
    Command(
        id="outlook.numbers",
        keys=("n",),
        label="Numbers",
        tooltip="Show everything about the maker under the cursor as a page of text.",
        context="outlook",
    ),
)


class OutlookScreen(DeskScreen):
    """How long cards took to come."""

    TITLE_WORDS = "Outlook"
    ABOUT = (
        "How long each maker took from submission to the card; those that still wait count as waiting (Kaplan-Meier). "
        "The curve falls as cards come; the band around it is how sure one can be. It looks back at other cards: it is "
        "never a promise, and beyond the data it says nothing."
    )
    CONTEXT = "outlook"
    BINDINGS = bindings(COMMANDS)

    def __init__(self) -> None:
        """Make the screen."""
        super().__init__()
        self._items: tuple[MakerOutlook, ...] = ()
        self._arrivals: dict[int, tuple[ExpectedArrivals, ...]] = {}

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the makers above the sentence and the curve of one."""
        yield LongList(
            [
                Column(title="Maker", width=16, stretch=1),
                Column(title="Submitted", width=9, right=True, priority=5),
                Column(title="Waiting", width=7, right=True),
                Column(title="Filled", width=6, right=True),
                Column(title="Refused", width=7, right=True, priority=4),
                Column(title="Half came in days", width=17, right=True),
                Column(title="6 months", width=8, right=True, priority=2),
                Column(title="12 months", width=9, right=True, priority=3),
            ],
            empty="No maker is known yet. A load or the settings take makers in.",
            id="outlook-makers",
        )
        yield Paragraph("", style="bold", id="outlook-sentence")
        yield Paragraph("", id="outlook-remarks")
        yield CurvePicture(id="outlook-curve")
        yield Paragraph("", style="$quiet", id="outlook-legend")

    def on_screen_resume(self) -> None:
        """Reckon anew."""
        self.read_anew(self._reckon, "reckon the outlook")

    async def _reckon(self) -> None:
        items = await self.desk.call(outlook)
        arrivals = await self.desk.call(lambda _desk: total_expected(items))
        # All makers together come first: it is the answer where one maker's own data are few.
        self._items = (items[-1], *items[:-1])
        self._arrivals = {0: arrivals}
        rows = [Row(item, _cells(item), "strong" if item.maker is None else "plain") for item in self._items]
        makers = self.query_one("#outlook-makers", LongList)
        makers.show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        makers.focus()
        self._show()

    def on_resize(self) -> None:
        """Leave room for the curve where there is little."""
        self._show()

    def on_long_list_moved(self, event: LongList.Moved) -> None:
        """Show the maker under the cursor, once the cursor is seen to stand there."""
        self.call_after_refresh(self._show_reached, event.index)

    def _show_reached(self, index: int) -> None:
        # Where the cursor has gone on meanwhile, what it passed is not drawn.
        if index == self.query_one("#outlook-makers", LongList).cursor:
            self._show()

    @property
    def _item(self) -> MakerOutlook | None:
        cursor = self.query_one("#outlook-makers", LongList).cursor
        return self._items[cursor] if cursor < len(self._items) else None

    def _show(self) -> None:
        item = self._item
        if item is None:
            return
        fewest, most = MAKERS_IN_SIGHT
        in_sight = min(len(self._items), max(fewest, min(most, self.size.height - BESIDE_THE_MAKERS)))
        makers = self.query_one("#outlook-makers", LongList)
        if makers.size.height != 1 + in_sight:
            makers.styles.height = 1 + in_sight
        drawn = item.curve if item.curve.last_day else None
        self.query_one("#outlook-sentence", Paragraph).show(self._sentence(item))
        self.query_one("#outlook-remarks", Paragraph).show(" ".join(self._remarks(item) if self._any else ()))
        self.query_one("#outlook-curve", CurvePicture).show(drawn)
        shown = self.query_one("#outlook-legend", Paragraph)
        shown.display = drawn is not None and self.size.height >= ROOMY
        shown.show(legend())

    @property
    def _any(self) -> bool:
        return bool(self._items) and self._items[0].submitted > 0

    def _sentence(self, item: MakerOutlook) -> str:
        return item.sentence if self._any else NOTHING_YET

    def _remarks(self, item: MakerOutlook) -> list[str]:
        remarks = []
        if item.pooled:
            remarks.append(f"Fewer than {POOLED_BELOW} of its cards came, so this is read off all makers together.")
        beyond = _beyond(item)
        if beyond and item.curve.last_day:
            remarks.append(f"{' and '.join(beyond).capitalize()}: {TOO_FAR}.")
        if self.size.height >= ROOMY:
            remarks.append(expected_words(self._expected(item)))
        return [remark for remark in remarks if remark]

    def _expected(self, item: MakerOutlook) -> tuple[ExpectedArrivals, ...]:
        # Adding up what each waiting card may do takes a while; the items are the same until they are read anew.
        place = self._items.index(item)
        if place not in self._arrivals:
            self._arrivals[place] = item.expected()
        return self._arrivals[place]

    # What can be done

    def action_copy(self) -> None:
        """Copy the sentence."""
        item = self._item
        if item is not None:
            self.say(copy_text(self.desk, self._sentence(item)))

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Show everything about a maker."""
        self.action_numbers()

    def action_numbers(self) -> None:
        """Show everything about a maker as text."""
        item = self._item
        if item is not None:
            text = "\n".join(numbers(item, self._expected(item)))
            self.app.push_screen(cast("Screen[Any]", ShowText(item.maker or "All makers", text)))


def _cells(item: MakerOutlook) -> tuple[str, ...]:
    return (
        item.maker or "All makers",
        f"{item.submitted:,}",
        f"{item.waiting:,}",
        f"{item.filled:,}",
        f"{item.refused:,}",
        _half(item),
        _share(item.share_within_half_a_year),
        _share(item.share_within_a_year),
    )


def _half(item: MakerOutlook) -> str:
    limits = item.median_limits
    if item.median_days is None:
        return "–"
    return f"{item.median_days:,} ({_or_open(limits.low)} to {_or_open(limits.high)})"


def _or_open(days: int | None) -> str:
    return "?" if days is None else f"{days:,}"


def _share(share: float | None) -> str:
    return "–" if share is None else f"{share:.0%}"


def _beyond(item: MakerOutlook) -> list[str]:
    """What the data of a curve cannot say."""
    values = (
        ("the day by which half came", item.median_days),
        ("the share within 6 months", item.share_within_half_a_year),
        ("the share within 12 months", item.share_within_a_year),
    )
    return [name for name, value in values if value is None]


def numbers(item: MakerOutlook, expected: tuple[ExpectedArrivals, ...]) -> list[str]:
    """Everything about one maker in lines of text, the curve last."""
    share_words = (
        ("Came within 6 months", item.share_within_half_a_year),
        ("Came within 12 months", item.share_within_a_year),
    )
    half = f"{_half(item)} days, with 95 % limits" if item.median_days is not None else TOO_FAR
    lines = [
        item.sentence,
        "",
        f"Submitted: {item.submitted:,}. Waiting: {item.waiting:,}.",
        f"Filled: {item.filled:,}. Refused: {item.refused:,}.",
        f"Half came in: {half}.",
        *(f"{name}: {TOO_FAR if share is None else f'{share:.0%}'}." for name, share in share_words),
        expected_words(expected),
    ]
    drawing = draw_curve(item.curve)
    return [*lines, "", legend(), "", *drawing] if drawing else lines
