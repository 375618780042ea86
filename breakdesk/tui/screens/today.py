"""Today: what is due in five sentences, each one key from its round."""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, cast

from textual.app import ComposeResult
from textual.containers import VerticalScroll

from breakdesk.desk.summary import Summary
from breakdesk.rules.wording import counted
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.widgets.sentences import Sentence, Sentences

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

ROUND_KEYS = {"submit": "s", "ask": "a", "tell": "t", "ship": "p", "decide": "d"}
ROUND_SCREENS = {
    "submit": ("submit_round", "SubmitRound"),
    "ask": ("ask_round", "AskRound"),
    "tell": ("tell_round", "TellRound"),
    "ship": ("ship_round", "ShipRound"),
    "decide": ("decide_round", "DecideRound"),
}
ROUND_WORDS = {
    "submit": "Walk the claims that are to be submitted, real dangers first.",
    "ask": "Walk the makers that may be asked now.",
    "tell": "Walk the participants who are to hear from you.",
    "ship": "Walk the participants with cards to ship.",
    "decide": "Walk what waits for your decision.",
}

COMMANDS = REGISTRY.add(
    *(
        Command(
            id=f"today.{name}",
            keys=(key,),
            label=name.capitalize(),
            tooltip=ROUND_WORDS[name],
            context="today",
            action=f"walk('{name}')",
            footer=False,
        )
        for name, key in ROUND_KEYS.items()
    ),
    Command(
        id="today.look",
        keys=("l",),
        label="Look",
        tooltip="Look a maker's status page up: free at any time, and never an ask.",
        context="today",
    ),
    Command(
        id="today.load",
        keys=("o",),
        label="Load files",
        tooltip="Load spot lists, checklists, people or claims from files.",
        context="today",
    ),
    Command(
        id="today.undo",
        keys=("u",),
        label="Undo",
        tooltip="Take one of the last actions back, or do it again; each is named first.",
        context="today",
    ),
    Command(
        id="today.calendar",
        keys=("c",),
        label="Calendar",
        tooltip="Write deadlines, asks, tellings and reviews of makers into a file for your calendar program.",
        context="today",
        footer=False,
    ),
    Command(
        id="today.notices",
        keys=("n",),
        label="Notices of delay",
        tooltip="Show who is to be given a notice of delay, where your house switched that on.",
        context="today",
        footer=False,
    ),
)


class TodayScreen(DeskScreen):
    """What is due today."""

    TITLE_WORDS = "Today"
    ABOUT = (
        "What is due today, in five sentences. Each has a key that opens its round; a round shows one item after the "
        "other until nothing is left that could be done now."
    )
    CONTEXT = "today"
    BINDINGS = bindings(COMMANDS)

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the sentences and what stands below them."""
        yield Paragraph(id="today-clock", style="bold $accent")
        with VerticalScroll(id="today-body", can_focus=False):
            yield Sentences(id="today-sentences")
            yield Paragraph(id="today-below")

    def on_mount(self) -> None:
        """Put the cursor on the sentences; nothing is said of a clock that goes right."""
        self.query_one("#today-clock").display = False
        self.query_one(Sentences).focus()

    def on_screen_resume(self) -> None:
        """Count anew: something may have been done since."""
        self.read_anew(self._count, "count today")

    async def _count(self) -> None:
        figures = await self.desk.count_today()
        self.query_one(Sentences).show(
            Sentence(item.name, item.count, item.text, ROUND_KEYS[item.name], item.burning) for item in figures.rounds
        )
        clock = self.query_one("#today-clock", Paragraph)
        said = await self.desk.look_at_clock()
        clock.show(said)
        clock.display = bool(said)
        due = figures.notices
        notices = f"{counted(due, 'notice')} of delay to be given: n lists them." if due else ""
        self.query_one("#today-below", Paragraph).show("\n".join(filter(None, (self._below(figures), notices))))

    @staticmethod
    def _below(figures: Summary) -> str:
        if figures.on_hold:
            claims = counted(figures.on_hold, "claim is", "claims are")
            return f"{claims} on hold and in none of these."
        if not any(item.count or item.burning for item in figures.rounds):
            return "Nothing is left to do today. F3 catches claims, F4 shows what is owed, o loads files."
        return ""

    def on_sentences_chosen(self, event: Sentences.Chosen) -> None:
        """Open the round of a sentence."""
        self.action_walk(event.sentence.id)

    def action_walk(self, name: str) -> None:
        """Open a round."""
        module, screen = ROUND_SCREENS[name]
        self.app.push_screen(getattr(import_module(f"breakdesk.tui.screens.{module}"), screen)())

    def action_look(self) -> None:
        """Open the look."""
        from breakdesk.tui.screens.look_round import LookRound

        self.app.push_screen(LookRound())

    def action_load(self) -> None:
        """Open loading."""
        from breakdesk.tui.screens.load import LoadScreen

        self.app.push_screen(LoadScreen())

    def action_calendar(self) -> None:
        """Write the calendar."""
        from breakdesk.tui.screens.calendar_steps import write_calendar

        self.run_worker(write_calendar(self), group="write", exit_on_error=False, description="write the calendar")

    def action_notices(self) -> None:
        """Open the notices of delay."""
        from breakdesk.tui.screens.notices import NoticesScreen

        self.app.push_screen(NoticesScreen())

    def action_undo(self) -> None:
        """Open the list of the last actions."""
        from breakdesk.tui.screens.undo import UndoScreen

        self.app.push_screen(UndoScreen())
