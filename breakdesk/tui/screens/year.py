"""The year sheet: what was owed when the year began, what came, what went and how, and what it cost."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, cast

from textual.app import ComposeResult
from textual.screen import Screen

from breakdesk.desk.problems import Problem
from breakdesk.desk.totals import YearView, year
from breakdesk.files.writing import write_xlsx
from breakdesk.files.year_sheets import SIDE_WORDS, card_lines, money_lines, movement_lines, year_workbook
from breakdesk.rules.money import format_money
from breakdesk.rules.totals import Line
from breakdesk.rules.year_sheet import MoneyLine
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import AskText, Confirm, Paragraph, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.screens.acting_screen import ActingScreen
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import day_words, values_words

COMMANDS = REGISTRY.add(
    Command(
        id="year.before", keys=("b",), label="Year before", tooltip="Show the sheet of the year before.", context="year"
    ),
    Command(id="year.next", keys=("n",), label="Next year", tooltip="Show the sheet of the next year.", context="year"),
    Command(
        id="year.write",
        keys=("w",),
        label="Write file",
        tooltip="Write the sheet as a workbook, with the claims behind each line.",
        context="year",
    ),
)


class YearScreen(ActingScreen):
    """One year in numbers."""

    TITLE_WORDS = "Year sheet"
    ABOUT = (
        "One calendar year: opening plus added less closed is closing, for both debts; then the money that was paid "
        "and the cards that the house holds. Enter lists what is behind a line. Values are those that the claims have "
        "now. The figures help with books and taxes; they are no tax advice."
    )
    CONTEXT = "year"
    ENTER_WORDS = "List"
    BINDINGS = bindings(COMMANDS)

    def __init__(self) -> None:
        """Make the screen of the present year."""
        super().__init__()
        self._number = 0
        self._view: YearView | None = None

    def compose_body(self) -> ComposeResult:
        """Lay out what it is above the lines."""
        yield Paragraph("", style="bold", id="year-what")
        yield LongList(
            [
                Column(title="Line", width=26, stretch=1),
                Column(title="How many", width=8, right=True),
                Column(title="Value", width=26, right=True),
                Column(title="No value", width=8, right=True, priority=2, quiet=True),
            ],
            id="year-list",
        )
        yield Paragraph(
            "Values are those that the claims have now. No tax advice: a licensed adviser knows your case.",
            style="$quiet",
        )

    def on_mount(self) -> None:
        """Begin with the present year."""
        self._number = self.desk.today().year
        self.query_one(LongList).focus()

    def on_screen_resume(self) -> None:
        """Add up anew."""
        self.read_anew(self.reload, "add up a year")

    async def reload(self) -> None:
        """Read the year."""
        found = await self.desk.call(year, self._number)
        if isinstance(found, Problem):
            self.say(found.sentence)
        else:
            self._show(found)

    def _show(self, found: YearView) -> None:
        self._view = found
        sheet = found.sheet
        ended = (sheet.last.month, sheet.last.day) == (12, 31)
        up_to = "" if ended else f", up to {day_words(sheet.last, self.desk.today())}"
        self.query_one("#year-what", Paragraph).show(f"{self.desk.house.name}, the year {sheet.year}{up_to}")
        rows = list(_rows(found))
        self.query_one(LongList).show(lambda offset, limit: rows[offset : offset + limit], len(rows))

    async def action_before(self) -> None:
        """Show the year before."""
        await self._go(self._number - 1)

    async def action_next(self) -> None:
        """Show the next year."""
        await self._go(self._number + 1)

    async def _go(self, number: int) -> None:
        found = await self.desk.call(year, number)
        if isinstance(found, Problem):
            self.say(found.sentence)
            return
        self.say()
        self._number = number
        self._show(found)

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """List what is behind a line."""
        from breakdesk.tui.screens.backing import BackingScreen

        behind = event.row.key
        title = str(event.row.cells[0]).strip()
        if isinstance(behind, Line):
            self.app.push_screen(BackingScreen(f"{self._number}: {title}", behind.claims))
        elif isinstance(behind, MoneyLine):
            self.app.push_screen(cast("Screen[Any]", ShowText(f"{self._number}: {title}", _payments(behind))))

    # Writing

    def action_write(self) -> None:
        """Write the sheet to a file."""
        if self._view is not None:
            self.walk(self._write(self._view))

    async def _write(self, view: YearView) -> None:
        dialog = AskText(
            "Write the year sheet to which file?",
            "A workbook; its name ends in .xlsx. It holds names of participants.",
            value=str(Path("~") / f"year-{view.sheet.year}.xlsx"),
            check=_file_problem,
        )
        text = cast("str | None", await self.ask(dialog))
        if text is None:
            return
        path = _path(text)
        if path.exists() and not await self.ask(
            Confirm(f"{path.name} is there already. Write over it?", yes="Write over it")
        ):
            return
        try:
            await asyncio.to_thread(write_xlsx, path, year_workbook(view.sheet, view.names))
        except OSError as error:
            self.say(f"{path.name} could not be written: {error.strerror or error}.")
            return
        self.say(f"Written to {text}, with the claims behind each line.")


def _rows(view: YearView) -> Iterator[Row]:
    sheet = view.sheet
    for movement in (sheet.house, sheet.makers):
        yield _heading(SIDE_WORDS[movement.side])
        for name, line in movement_lines(movement):
            yield _row(f"  {name}", line, line.count, line.value, line.no_value)
    yield _heading("cards of the house")
    for name, line in card_lines(sheet):
        yield _row(f"  {name}", line, line.count, line.value, line.no_value)
    yield _heading("money")
    for money in money_lines(sheet):
        yield _row(f"  {money.name}", money, len(money.payments), money.sums, money.without_amount)


def _heading(words: str) -> Row:
    return Row(None, (words.capitalize(), "", "", ""), "strong")


def _row(name: str, behind: object, count: int, value: Mapping[str, int], none: int) -> Row:
    cells = (name, f"{count:,}", values_words(value.items()), f"{none:,}" if none else "–")
    return Row(behind, cells, "plain" if count else "quiet")


def _payments(line: MoneyLine) -> str:
    lines = [
        f"{day_words(payment.day)}  {format_money(payment.money) if payment.money else 'no amount'}  "
        f"{', '.join(payment.tags)}"
        for payment in line.payments
    ]
    return "\n".join(lines) or "Nothing."


def _path(text: str) -> Path:
    try:
        return Path(text).expanduser()
    except RuntimeError:
        return Path(text)


def _file_problem(text: str) -> str | None:
    path = _path(text)
    if path.suffix.casefold() != ".xlsx":
        return "Let the name end in .xlsx."
    if not path.parent.is_dir():
        return f"There is no folder {path.parent}."
    return None
