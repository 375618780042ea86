"""Settings: the house and its terms, each maker, and this machine; every change with the day from which it holds."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Final, cast

from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical

from breakdesk.desk.house import name_house
from breakdesk.desk.maker_list import add_maker
from breakdesk.desk.terms import Settle, TermView, settle
from breakdesk.rules.term_values import CHOICES, SWITCHES, check_value
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.day_entry import read_day
from breakdesk.tui.dialogs import AskText, Confirm, Paragraph, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.machine import MachineFile, keep_machine, read_machine
from breakdesk.tui.screens.acting_screen import UNDO_KEYS
from breakdesk.tui.screens.maker_steps import MakerSteps, some_words
from breakdesk.tui.settings_pages import Item, Page, Settings, items_of, keys_text, pages_of, read_settings
from breakdesk.tui.term_words import choice_words, term_words
from breakdesk.tui.theme import THEME_WORDS
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row

COMMANDS = REGISTRY.add(
    Command(
        id="settings.new-maker",
        keys=("n",),
        label="New maker",
        tooltip="Take a maker in; its terms begin with the usual ones.",
        context="settings",
    ),
    Command(
        id="settings.safety",
        keys=("s",),
        label="Safety",
        tooltip="See your backups, make one, restore one, and set what opens the codes.",
        context="settings",
    ),
    Command(
        id="settings.undo",
        keys=UNDO_KEYS,
        label="Undo",
        tooltip="Undo what you said here of a maker and all its claims; terms are settled anew instead.",
        context="settings",
        footer=False,
    ),
)

ALWAYS: Final = "always"


class SettingsScreen(MakerSteps):
    """Everything that is set."""

    TITLE_WORDS = "Settings"
    ABOUT = (
        "On the left the house, its makers and this machine; on the right what is set there. Tab goes between them, "
        "Enter changes what the cursor is on. A term holds from the day you name; what is running already keeps the "
        "value of the day from which it counts, unless you say “always”."
    )
    CONTEXT = "settings"
    ENTER_WORDS = "Change"
    BINDINGS = bindings(COMMANDS)

    def __init__(self) -> None:
        """Make the screen."""
        super().__init__()
        self._settings: Settings | None = None
        self._machine: MachineFile | None = None
        self._pages: list[Page] = []

    def compose_body(self) -> ComposeResult:
        """Lay out the pages beside the rows of one."""
        with Horizontal(id="settings"):
            yield LongList([Column(title="Whose", width=10, stretch=1)], id="settings-pages")
            with Vertical(id="settings-side"):
                yield LongList(
                    [
                        Column(title="What", width=22, stretch=1),
                        Column(title="Now", width=14, stretch=2),
                        Column(title="From", width=10, priority=3, quiet=True),
                        Column(title="Usual", width=9, stretch=1, priority=2, quiet=True),
                    ],
                    id="settings-items",
                )
                yield Paragraph("", id="settings-about")

    def on_screen_resume(self) -> None:
        """Read anew."""
        self.read_anew(self.reload, "read the settings")

    async def reload(self) -> None:
        """Read what is set."""
        first = self._settings is None
        self._machine = read_machine()
        self._settings = await self.desk.call(read_settings)
        self._pages = pages_of(self._settings)
        rows = [Row(page, (page.label,)) for page in self._pages]
        pages = self.query_one("#settings-pages", LongList)
        pages.show(lambda offset, limit: rows[offset : offset + limit], len(rows))
        self._show_items()
        if first:
            pages.focus()

    @property
    def _page(self) -> Page:
        cursor = self.query_one("#settings-pages", LongList).cursor
        return self._pages[min(cursor, len(self._pages) - 1)]

    def _show_items(self, cursor: int | None = None) -> None:
        if self._settings is None or self._machine is None:
            return
        today = self.desk.today()
        items = items_of(self._page, self._settings, self.desk.house, self._machine, self.app.theme, today)
        rows = [Row(item, (item.label, item.now, item.since, item.usual)) for item in items]
        shown = self.query_one("#settings-items", LongList)
        shown.show(lambda offset, limit: rows[offset : offset + limit], len(rows), cursor=cursor)

    def on_long_list_moved(self, event: LongList.Moved) -> None:
        """Show the page that the cursor is on, or say what the row under it does."""
        if event.long_list.id == "settings-pages":
            self._show_items(cursor=0)
        elif event.row is not None:
            self.query_one("#settings-about", Paragraph).show(cast("Item", event.row.key).about)

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Go to the rows of a page, or change one."""
        if event.long_list.id == "settings-pages":
            self.query_one("#settings-items").focus()
            return
        item, page = cast("Item", event.row.key), self._page
        if item.kind == "term" and item.term is not None:
            self.walk(self._change_term(page, item, item.term))
        elif page.maker is not None:
            self.walk(self.change_maker(page.maker, item, self._closed_days(page.maker)))
        elif item.kind == "name":
            self.walk(self._rename())
        elif item.kind == "wording":
            self.desk.action_open("templates")
        else:
            self.walk(self._change_machine(item))

    # Terms

    async def _change_term(self, page: Page, item: Item, term: TermView) -> None:
        value = await self._ask_value(item, term, of_maker=page.maker is not None)
        if value is None:
            return
        from_day = await self._ask_from_day(item.label)
        if from_day is None:
            return
        since_always = from_day == ALWAYS
        day = None if since_always else read_from_day(from_day, self.desk.today())
        request = Settle(name=term.name, value=value, maker=page.maker, from_day=day, since_always=since_always)
        await self.settled(self.desk.call(settle, request))

    async def _ask_value(self, item: Item, term: TermView, *, of_maker: bool) -> str | None:
        about = term_words(term.name, of_maker=of_maker).about
        if term.name in SWITCHES:
            return await self.pick(item.label, [("on", "On"), ("off", "Off")], about)
        if term.name in CHOICES:
            choices = [(choice, choice_words(term.name, choice)) for choice in CHOICES[term.name]]
            return await self.pick(item.label, choices, about)

        def check(text: str) -> str | None:
            try:
                check_value(term.name, text, of_maker=of_maker)
            except ValueError as error:
                return str(error).replace(term.name, item.label)
            return None

        answer = await self.ask(AskText(item.label, about, value=term.today, check=check))
        return cast("str | None", answer)

    async def _ask_from_day(self, label: str) -> str | None:
        today = self.desk.today()
        dialog = AskText(
            f"{label}: from which day?",
            "Empty is today. Or a date, a weekday, a number of days from today; or “always”, which counts what is past "
            "and what is running anew, too.",
            check=_from_day_check(today),
        )
        answer = cast("str | None", await self.ask(dialog))
        return answer.casefold() if answer is not None else None

    async def _rename(self) -> None:
        name = await self.ask(AskText("What is your business called?", value=self.desk.house.name, check=some_words))
        if name is not None:
            await self.settled(self.desk.call(name_house, name))

    # Makers

    def action_new_maker(self) -> None:
        """Take a maker in."""
        self.walk(self._new_maker())

    def _closed_days(self, maker: str) -> tuple[tuple[date, str], ...]:
        if self._settings is None:
            return ()
        return next(view.noted for listed, view in self._settings.makers if listed.name == maker)

    async def _new_maker(self) -> None:
        name = await self.ask(AskText("What is the maker called?", "As on its claim cards.", check=some_words))
        if name is not None:
            await self.settled(self.desk.call(add_maker, name))

    def action_safety(self) -> None:
        """Open the page about backups and what opens the codes."""
        self.desk.action_open("safety")

    # This machine

    async def _change_machine(self, item: Item) -> None:
        machine = self._machine
        if machine is None:
            return
        if item.kind == "theme":
            theme = await self.pick("Look", THEME_WORDS.items(), "Shown at once, and kept for this machine.")
            if theme is not None:
                self._say_kept(keep_machine(machine.path, theme=theme), f"Look: {THEME_WORDS[theme]}.")
                self.app.theme = theme
        elif item.kind == "streams":
            await self._change_streaming(machine)
        else:
            await self.ask(ShowText("Keys of your own", keys_text(machine.path)))
        await self.reload()

    async def _change_streaming(self, machine: MachineFile) -> None:
        if machine.machine.never_streams:
            said = "This machine may stream: the desk opens on air from the next start on."
            self._say_kept(keep_machine(machine.path, never_streams=False), said)
            return
        dialog = Confirm(
            "Does this machine never stream?",
            "From the next start on the desk opens off air: codes, references, addresses and full names stand on this "
            "screen at once. Only say yes where no stream, recording or shared screen ever shows it.",
            yes="It never streams: open off air",
            no="It may stream: open on air",
        )
        if await self.ask(dialog):
            said = "This machine never streams: the desk opens off air from the next start on. F9 changes it now."
            self._say_kept(keep_machine(machine.path, never_streams=True), said)

    def _say_kept(self, problem: str, said: str) -> None:
        self.say(problem or said)


def read_from_day(text: str, today: date) -> date:
    """The day from which a term holds: today where nothing is typed, or a day. Raises ValueError with a sentence."""
    return today if text.strip().casefold() in ("", "today", "0") else read_day(text, today)


def _from_day_check(today: date) -> Callable[[str], str | None]:
    def check(text: str) -> str | None:
        if text.strip().casefold() == ALWAYS:
            return None
        try:
            read_from_day(text, today)
        except ValueError as error:
            return str(error)
        return None

    return check
