"""Loading files: their paths, what is wrong with them, what would be new, and what is due once they are in."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, Final, cast

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, OptionList

from breakdesk.desk.loading import LoadReport, load_files
from breakdesk.desk.summary import summary
from breakdesk.files.problems import Problem
from breakdesk.files.typed_paths import typed_paths, with_folders_opened
from breakdesk.tui.base import DeskScreen
from breakdesk.tui.commands import REGISTRY, Command
from breakdesk.tui.dialogs import Choice, Choices, Paragraph, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.load_words import (
    BEGINNING,
    due_sentences,
    file_words,
    found_fields,
    problem_columns,
    problem_count,
    problem_parts,
    problem_row,
    progress_words,
    warning_count,
)
from breakdesk.tui.widgets.fields import Fields
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Provider, Row
from breakdesk.tui.widgets.sentences import Sentences

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

PROGRESS_SECONDS: Final = 0.1
"""How often the screen looks how far a load is."""

COMMANDS = REGISTRY.add(
    Command(
        id="load.again",
        keys=("r",),
        label="Check again",
        tooltip="Check the same files again, after they were corrected.",
        context="load",
    ),
    Command(
        id="load.other",
        keys=("e",),
        label="Other files",
        tooltip="Go back to the line of paths and change it.",
        context="load",
    ),
    Command(
        id="load.warnings",
        keys=("w",),
        label="To look at",
        tooltip="Show what keeps no file out but should be looked at, or go back from it.",
        context="load",
    ),
    Command(
        id="load.cancel",
        keys=("c",),
        label="Stop",
        tooltip="Stop what is going on; nothing of it is saved.",
        context="load",
    ),
)

CHOICES: Final = (Choice("load", "Load them now"), Choice("other", "Other files"))


class LoadScreen(DeskScreen):
    """Loads files after they were checked."""

    TITLE_WORDS = "Load files"
    ABOUT = (
        "Type or paste paths and press Enter: several are parted by blanks, in quotation marks where they hold blanks, "
        "~ is your home folder, and a folder stands for the tables in it. The files are checked first; nothing is "
        "written before you say so, and then all of them or none. Loading the same files again changes nothing."
    )
    CONTEXT = "load"
    # Escape stops what is going on before it leaves.
    BINDINGS = [*bindings(COMMANDS), Binding("escape", "leave", "Back", show=False)]

    def __init__(self) -> None:
        """Make the screen with nothing typed."""
        super().__init__()
        self._files: list[Path] = []
        self._stop: Event | None = None
        self._far = ("", 0, 0)
        self._report: LoadReport | None = None
        self._loaded = False

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    def compose_body(self) -> ComposeResult:
        """Lay out the line of paths above what was found."""
        with Horizontal(id="load-entry", classes="entry"):
            yield Paragraph("Files")
            yield Input(placeholder="paths, or a folder", id="load-paths", select_on_focus=False)
        yield Paragraph(BEGINNING, id="load-said")
        with Vertical(id="load-wrong"):
            yield LongList(problem_columns("What is wrong"), id="load-problems")
            yield LongList(problem_columns("To look at"), id="load-warnings")
            yield Paragraph("", id="load-detail")
        with VerticalScroll(id="load-found", can_focus=False):
            yield Fields(id="load-counts")
            yield Choices(CHOICES, id="load-choices")
            yield Paragraph("Now due:", style="$quiet", id="load-due-title")
            yield Sentences(id="load-due")

    def on_mount(self) -> None:
        """Begin with the line of paths."""
        self.set_interval(PROGRESS_SECONDS, self._show_progress)
        self.query_one("#load-due", Sentences).can_focus = False
        self._show_parts()
        self.query_one(Input).focus()

    def _show_parts(self, *, warnings: bool = False) -> None:
        """Show the parts that say what was found: what is wrong, what could be loaded, or what is due now."""
        report = self._report
        wrong = report is not None and bool(report.errors)
        ready = report is not None and not wrong and bool(report.counts) and not self._loaded
        for selector, wanted in (
            ("#load-wrong", warnings or wrong),
            ("#load-problems", wrong and not warnings),
            ("#load-warnings", warnings),
            ("#load-found", (ready or self._loaded) and not warnings),
            ("#load-counts", ready),
            ("#load-choices", ready),
            ("#load-due-title", self._loaded),
            ("#load-due", self._loaded),
        ):
            self.query_one(selector).display = wanted
        for selector in ("#load-warnings", "#load-problems", "#load-choices"):
            widget = self.query_one(selector)
            if widget.display:
                widget.focus()
                break
        self.refresh_bindings()

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Offer to stop only what is going on, and the rest only where there is something to do it with."""
        busy = self._stop is not None
        if action == "cancel":
            return busy
        if action in ("again", "other"):
            return not busy and bool(self._files)
        if action == "warnings":
            return not busy and self._report is not None and bool(self._report.warnings)
        return super().check_action(action, parameters)

    # Checking

    @on(Input.Submitted, "#load-paths")
    def _typed(self, event: Input.Submitted) -> None:
        event.stop()
        try:
            files = with_folders_opened(typed_paths(event.value))
        except ValueError as error:
            self._say_here(str(error))
            return
        if not files:
            self._say_here("Type the path of a file or a folder first.")
            return
        self._files = files
        self.action_again()

    def action_again(self) -> None:
        """Check the files."""
        self.run_worker(self._check(), group="load", exit_on_error=False, description="check files")

    def action_other(self) -> None:
        """Go back to the paths."""
        self.query_one(Input).focus()

    async def _check(self) -> None:
        if self._stop is not None:
            return
        with self._busy() as stop:
            report = await self._run(stop, check_only=True)
        self._take(report)
        names = file_words(path.name for path in self._files)
        if report.errors:
            self._say_here(f"{problem_count(len(report.errors))} in {names}. Nothing was written.")
        elif not report.counts:
            self._say_here(report.said)
            self.query_one(Input).focus()
        else:
            remarks = warning_count(len(report.warnings))
            self._say_here(f"Nothing is wrong in {names}.{remarks} Nothing was written yet.")

    def _take(self, report: LoadReport) -> None:
        """Fill in what a check or a load found, and show the parts of it that there are."""
        self._report = report
        for selector, problems in (("#load-problems", report.errors), ("#load-warnings", report.warnings)):
            rows = [problem_row(problem) for problem in problems]
            self.query_one(selector, LongList).show(_provider(rows), len(rows), cursor=0)
        self.query_one("#load-counts", Fields).show(found_fields(report))
        self._show_parts()

    def action_warnings(self) -> None:
        """Show what should be looked at, or what was shown before."""
        self._show_parts(warnings=not self.query_one("#load-warnings").display)

    @on(LongList.Moved)
    def _moved(self, event: LongList.Moved) -> None:
        if event.row is not None and event.long_list.display:
            self.query_one("#load-detail", Paragraph).show(*problem_parts(cast("Problem", event.row.key)))

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        """Show one problem whole."""
        self.app.push_screen(ShowText("What is wrong here", *problem_parts(cast("Problem", event.row.key))))

    # Loading

    @on(OptionList.OptionSelected, "#load-choices")
    def _chosen(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if event.option.id == "load":
            self.run_worker(self._load(), group="load", exit_on_error=False, description="load files")
        else:
            self.action_other()

    async def _load(self) -> None:
        if self._stop is not None:
            return
        with self._busy() as stop:
            before = await self.desk.call(summary)
            report = await self._run(stop, check_only=False)
            if report.saved:
                await self.desk.read_house_again()
            after = await self.desk.call(summary)
        self._loaded = report.saved
        self.query_one("#load-due", Sentences).show(due_sentences(before, after))
        self._take(report)
        if not report.saved:
            self._say_here(report.said)
            return
        self._say_here("Nothing is new: the desk held all of this already." if report.number is None else report.said)
        self.say("F2 goes to Today. Loading the same files again changes nothing.")

    @contextmanager
    def _busy(self) -> Iterator[Event]:
        """Something is going on until this ends; the event asks it to stop."""
        stop = self._stop = Event()
        self._far = ("reading", 0, 0)
        self._report, self._loaded = None, False
        self.say()
        self.set_focus(None)
        self._show_parts()
        try:
            yield stop
        finally:
            self._stop = None
            self.refresh_bindings()

    async def _run(self, stop: Event, *, check_only: bool) -> LoadReport:
        def progress(doing: str, done: int, total: int) -> bool:
            self._far = (doing, done, total)
            return not stop.is_set()

        return await self.desk.call(load_files, self._files, check_only=check_only, progress=progress)

    def _show_progress(self) -> None:
        if self._stop is not None and not self._stop.is_set():
            self._say_here(progress_words(*self._far))

    def _say_here(self, sentence: str) -> None:
        self.query_one("#load-said", Paragraph).show(sentence)

    # Leaving

    def action_cancel(self) -> None:
        """Stop what is going on."""
        if self._stop is not None:
            self._stop.set()
            self._say_here("Stopping …")

    async def action_leave(self) -> None:
        """Stop what is going on, or leave."""
        if self._stop is not None:
            self.action_cancel()
        else:
            await self.desk.action_back()


def _provider(rows: Sequence[Row]) -> Provider:
    return lambda offset, limit: rows[offset : offset + limit]
