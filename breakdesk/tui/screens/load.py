"""Loading files: their paths, what is wrong with them, what would be new, and what is due once they are in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, Final, TypeVar, cast

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal, Vertical, VerticalScroll
from textual.widgets import Input, OptionList

from breakdesk.desk.loading import LoadReport, load_files
from breakdesk.desk.loading.foreseeing import Foretold, foresee_load
from breakdesk.desk.summary import summary
from breakdesk.files.column_map import ColumnMap
from breakdesk.files.problems import Problem
from breakdesk.files.typed_paths import typed_paths, with_folders_opened
from breakdesk.rules.wording import counted
from breakdesk.tui.base import DeskScreen
from breakdesk.tui.dialogs import Choice, Choices, Paragraph, Pick, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.load_words import (
    BEGINNING,
    coming_fields,
    due_sentences,
    example_fields,
    file_words,
    found_fields,
    problem_columns,
    problem_parts,
    problem_row,
    progress_words,
    warning_count,
)
from breakdesk.tui.screens.load_columns import ColumnsScreen
from breakdesk.tui.screens.load_commands import CHOICES, CHOICES_WITH_LINE, COMMANDS
from breakdesk.tui.screens.start_line_steps import draw_a_start_line
from breakdesk.tui.widgets.fields import Fields
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Provider, Row
from breakdesk.tui.widgets.sentences import Sentences

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

Answer = TypeVar("Answer")

PROGRESS_SECONDS: Final = 0.1
"""How often the screen looks how far a load is."""


class LoadScreen(DeskScreen):
    """Loads files after they were checked."""

    TITLE_WORDS = "Load files"
    ABOUT = (
        "Type or paste paths and press Enter: several are parted by blanks, in quotation marks where they hold blanks, "
        "~ is your home folder, and a folder stands for the tables in it. The files are checked first; nothing is "
        "written before you say so, and then all of them or none. Loading the same files again changes nothing. "
        "Where a spreadsheet has headings of its own, m shows its columns beside ours. A start line (l) is for an old "
        "list: updates and asks that waited before today are spread over some weeks, deadlines stay where they are."
    )
    CONTEXT = "load"
    # Escape stops what is going on before it leaves.
    BINDINGS = [*bindings(COMMANDS), Binding("escape", "leave", "Back", show=False)]

    def __init__(self) -> None:
        """Make the screen with nothing typed."""
        super().__init__()
        self._paths: list[Path] = []
        self._files: list[Path] = []
        self._stop: Event | None = None
        self._far = ("", 0, 0)
        self._report: LoadReport | None = None
        self._told: Foretold | None = None
        self._map: ColumnMap | None = None
        self._loaded = False

    @property
    def desk(self) -> Breakdesk:
        """The app with its open desk."""
        return cast("Breakdesk", self.app)

    @property
    def busy(self) -> bool:
        """Whether files are being checked or loaded."""
        return self._stop is not None

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
            yield Paragraph("Due once they are in:", style="$quiet", id="load-coming-title")
            yield Fields(id="load-coming")
            yield Paragraph("The first rows, as claims:", style="$quiet", id="load-first-title")
            yield Fields(id="load-first")
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
            ("#load-coming-title", ready and self._told is not None and self._told.after is not None),
            ("#load-coming", ready),
            ("#load-first-title", ready and report is not None and bool(report.examples)),
            ("#load-first", ready),
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
        busy = self.busy
        if action == "cancel":
            return busy
        if action in ("again", "other", "columns"):
            return not busy and bool(self._files)
        if action == "start_line":
            return not busy and self._loaded
        if action == "warnings":
            return not busy and self._report is not None and bool(self._report.warnings)
        return super().check_action(action, parameters)

    # Checking

    @on(Input.Submitted, "#load-paths")
    def _typed(self, event: Input.Submitted) -> None:
        event.stop()
        try:
            paths = typed_paths(event.value)
        except ValueError as error:
            self._say_here(str(error))
            return
        if not paths:
            self._say_here("Type the path of a file or a folder first.")
            return
        self._check_what_stands_at(paths)

    def action_again(self) -> None:
        """Check the files, and those that came into a folder since."""
        self._check_what_stands_at(self._paths)

    def _check_what_stands_at(self, paths: list[Path]) -> None:
        try:
            files = with_folders_opened(paths)
        except ValueError as error:
            self._say_here(str(error))
            return
        if paths != self._paths:
            self._map = None
        self._paths, self._files = paths, files
        self.run_worker(self._check(), group="load", exit_on_error=False, description="check files")

    def action_other(self) -> None:
        """Go back to the paths."""
        self.query_one(Input).focus()

    async def _check(self) -> None:
        if self._stop is not None:
            return
        with self._busy() as stop:
            told = await self._run(foresee_load, stop)
        self._told = told
        report = told.report
        self._take(report)
        names = file_words(path.name for path in self._files)
        if report.errors:
            self._say_here(f"{counted(len(report.errors), 'problem')} in {names}. Nothing was written.")
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
        self.query_one("#load-first", Fields).show(example_fields(report))
        self.query_one("#load-coming", Fields).show(coming_fields(self._told))
        calm = self._told is not None and self._told.calm is not None
        self.query_one("#load-choices", Choices).show(CHOICES_WITH_LINE if calm else CHOICES)
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
        if event.option.id in ("load", "line"):
            work = self._load(with_line=event.option.id == "line")
            self.run_worker(work, group="load", exit_on_error=False, description="load files")
        else:
            self.action_other()

    async def _load(self, *, with_line: bool = False) -> None:
        if self._stop is not None:
            return
        with self._busy() as stop:
            before = await self.desk.call(summary)
            report = await self._run(load_files, stop)
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
        if with_line:
            await self._draw_line()

    @contextmanager
    def _busy(self) -> Iterator[Event]:
        """Something is going on until this ends; the event asks it to stop."""
        stop = self._stop = Event()
        self._far = ("reading", 0, 0)
        self._report, self._told, self._loaded = None, None, False
        self.say()
        self.set_focus(None)
        self._show_parts()
        try:
            yield stop
        finally:
            self._stop = None
            self.refresh_bindings()

    async def _run(self, work: Callable[..., Answer], stop: Event) -> Answer:
        def progress(doing: str, done: int, total: int) -> bool:
            self._far = (doing, done, total)
            return not stop.is_set()

        return await self.desk.call(work, self._files, column_map=self._map, progress=progress)

    def _show_progress(self) -> None:
        if self._stop is not None and not self._stop.is_set():
            self._say_here(progress_words(*self._far))

    def _say_here(self, sentence: str) -> None:
        self.query_one("#load-said", Paragraph).show(sentence)

    # The start line, and the columns of a spreadsheet

    def action_start_line(self) -> None:
        """Draw the start line."""
        self.run_worker(self._draw_line(), group="load", exit_on_error=False, description="draw the start line")

    async def _draw_line(self) -> None:
        before = await self.desk.call(summary)
        said = await draw_a_start_line(self.desk)
        self.query_one("#load-due", Sentences).show(due_sentences(before, await self.desk.call(summary)))
        if said:
            self.say(said)

    def action_columns(self) -> None:
        """Match the columns of one of the files, then check them again."""
        if len(self._files) == 1:
            self._match(self._files[0])
            return

        def picked(name: str | None) -> None:
            if name is not None:
                self._match(self._files[int(name)])

        choices = [Choice(str(number), path.name) for number, path in enumerate(self._files)]
        self.app.push_screen(Pick("The columns of which file?", choices), picked)

    def _match(self, path: Path) -> None:
        def matched(column_map: ColumnMap | None) -> None:
            if column_map is not None:
                self._map = column_map
                self.action_again()

        self.app.push_screen(ColumnsScreen(path, self._map), matched)

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
