"""The first start: what is there to begin with, before any desk is made."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, cast

from textual import on
from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.screen import Screen
from textual.widgets import OptionList

from breakdesk.desk.house import NewHouse
from breakdesk.rules.term_values import check_value
from breakdesk.rules.terms import HOUSE_DEFAULTS
from breakdesk.tui.choices import Choice, Choices
from breakdesk.tui.commands import REGISTRY
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import AskText, Paragraph
from breakdesk.tui.keys import bindings
from breakdesk.tui.wording import path_words

if TYPE_CHECKING:
    from breakdesk.tui.starting import FirstStart

COMMANDS = REGISTRY.add()

CHOICES: Final = (
    Choice("nothing", "Nothing yet", "make an empty desk"),
    Choice("files", "A spreadsheet or other files", "make a desk, then load them"),
    Choice("desk", "Another desk", "open its file"),
    Choice("sample", "Only looking", "open an invented house to play with; it is gone afterwards"),
)
HOW: Final = "Enter chooses. Nothing is made before you have answered; F10 leaves."
SQLITE_BEGINS: Final = b"SQLite format 3\x00"


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """How to begin: make a new desk for `house`, or open `path`; `loads` goes on to loading files."""

    path: Path
    house: NewHouse | None = None
    loads: bool = False


class FirstStartScreen(DeskScreen):
    """Asks what is there."""

    TITLE_WORDS = "Welcome"
    ABOUT = (
        "There is no desk yet. Say what there is to begin with; nothing is made before you have answered. "
        "F10 leaves without making anything."
    )
    CONTEXT = "first-start"
    BINDINGS = bindings(COMMANDS)

    def __init__(self) -> None:
        super().__init__()
        self._name_typed = ""

    @property
    def start(self) -> FirstStart:
        """The app that asks."""
        return cast("FirstStart", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the welcome and the choices."""
        with VerticalScroll(id="first-start", can_focus=False):
            yield Paragraph("Breakdesk keeps what your house owes and is owed: every claim card, from the pull on.")
            yield Paragraph(f"There is no desk yet at {path_words(self.start.path)}.", style="$quiet")
            yield Paragraph(self.start.problem, style="$accent", id="first-start-problem")
            yield Paragraph("What is there to begin with?", style="bold")
            yield Choices(CHOICES, id="first-start-choices")
            yield Paragraph(HOW, style="$quiet")
            yield Paragraph("", id="first-start-doing")

    def on_mount(self) -> None:
        """Put the cursor on the choices."""
        self.query_one("#first-start-problem").display = bool(self.start.problem)
        self.query_one(Choices).focus()

    @on(OptionList.OptionSelected, "#first-start-choices")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        work: dict[str, Callable[[], Any]] = {
            "nothing": self._new_desk,
            "files": self._files,
            "desk": self._other_desk,
            "sample": self._sample,
        }
        self.run_worker(work[str(event.option.id)], group="start", exclusive=True, description="begin")

    async def _new_desk(self) -> None:
        house = await self._ask_house()
        if house is not None:
            self.start.begin(Start(path=self.start.path, house=house))

    async def _files(self) -> None:
        house = await self._ask_house()
        if house is not None:
            self.start.begin(Start(path=self.start.path, house=house, loads=True))

    async def _ask_house(self) -> NewHouse | None:
        name = await self._ask(
            "What is your business called?",
            "As people see it, in messages too.",
            value=self._name_typed,
            check=_name_check,
        )
        if name is None:
            return None
        self._name_typed = name
        zone = await self._ask(
            "In which time zone is it?",
            "A name such as America/Denver or Europe/Berlin. Days begin and end there.",
            value=self.start.zone,
            check=_term_check("zone"),
        )
        if zone is None:
            return None
        currency = await self._ask(
            "In which currency do you count?",
            "Three letters, such as USD or EUR.",
            value=HOUSE_DEFAULTS["currency"],
            check=_term_check("currency"),
        )
        return None if currency is None else NewHouse(name=name, zone=zone, currency=currency)

    async def _other_desk(self) -> None:
        text = await self._ask(
            "Where is the desk's file?",
            "Its path; ~ is your home folder. On air it stands as dots, because folders may name people.",
            secret=True,
            check=_desk_check,
        )
        if text is not None:
            self.start.begin(Start(path=_path(text)))

    async def _sample(self) -> None:
        self.query_one(Choices).disabled = True
        self.query_one("#first-start-doing", Paragraph).show("Making the sample desk; this takes a few seconds …")
        made = await asyncio.to_thread(self.start.make_sample)
        if made is None:
            self.query_one(Choices).disabled = False
            said = "The files of the sample desk are missing or damaged. Install Breakdesk again."
            self.query_one("#first-start-doing", Paragraph).show(said)
            return
        self.start.begin(Start(path=made))

    async def _ask(self, title: str, explained: str, **options: Any) -> str | None:
        dialog = AskText(title, explained, **options)
        return cast("str | None", await self.app.push_screen_wait(cast("Screen[Any]", dialog)))


def _name_check(text: str) -> str | None:
    return None if text else "A name is needed; it can be changed later."


def _term_check(name: str) -> Callable[[str], str | None]:
    def check(text: str) -> str | None:
        try:
            check_value(name, text, of_maker=False)
        except ValueError as error:
            return str(error)
        return None

    return check


def _path(text: str) -> Path:
    try:
        return Path(text.strip("\"'")).expanduser()
    except RuntimeError:
        return Path(text)


def _desk_check(text: str) -> str | None:
    path = _path(text)
    try:
        with path.open("rb") as file:
            begins = file.read(len(SQLITE_BEGINS))
    except FileNotFoundError:
        return f"There is no file {path.name} there. Check the folder and the spelling."
    except (OSError, ValueError) as error:
        return f"{path.name} cannot be read ({getattr(error, 'strerror', None) or error})."
    return None if begins == SQLITE_BEGINS else f"{path.name} is not a desk. A desk's file often ends with .db."
