"""Loading files: their paths, what is wrong with them, what would be new, and what is due once they are in."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Event
from typing import TYPE_CHECKING, Final, TypeVar, cast

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding
from textual.containers import Horizontal
from textual.widgets import Input, OptionList

from breakdesk.desk.loading import LoadReport, load_files
from breakdesk.desk.loading.foreseeing import Foretold, foresee_load
from breakdesk.desk.summary import summary
from breakdesk.files.column_map import ColumnMap
from breakdesk.files.problems import Problem
from breakdesk.files.typed_paths import typed_paths, with_folders_opened
from breakdesk.rules.wording import counted
from breakdesk.tui.choices import Choice
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.dialogs import Paragraph, Pick, ShowText
from breakdesk.tui.keys import bindings
from breakdesk.tui.load_words import (
    BEGINNING,
    due_sentences,
    file_words,
    problem_parts,
    progress_words,
    typed_words,
    warning_count,
)
from breakdesk.tui.masking import Kind, Secret
from breakdesk.tui.screens.load_columns import ColumnsScreen
from breakdesk.tui.screens.load_commands import ABOUT, COMMANDS
from breakdesk.tui.screens.load_findings import LoadFindings
from breakdesk.tui.screens.start_line_steps import draw_a_start_line
from breakdesk.tui.veiling import veiled
from breakdesk.tui.widgets.inputs import SecretInput
from breakdesk.tui.widgets.long_list import LongList

if TYPE_CHECKING:
    from breakdesk.tui.app import Breakdesk

Answer = TypeVar("Answer")

PROGRESS_SECONDS: Final = 0.1
"""How often the screen looks how far a load is."""


class LoadScreen(DeskScreen):
    """Loads files after they were checked."""

    TITLE_WORDS = "Load files"
    ABOUT = ABOUT
    CONTEXT = "load"
    AUTO_FOCUS = ""
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
            yield SecretInput(placeholder="paths, or a folder", id="load-paths", select_on_focus=False)
        yield Paragraph(BEGINNING, id="load-said")
        yield LoadFindings()

    def on_mount(self) -> None:
        """Begin with the line of paths."""
        self.set_interval(PROGRESS_SECONDS, self._show_progress)
        self.query_one(Input).focus()

    @property
    def _findings(self) -> LoadFindings:
        return self.query_one(LoadFindings)

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

    @on(Input.Changed, "#load-paths")
    def _typing(self, event: Input.Changed) -> None:
        """Say on air what the dots stand for: the names of the files, without the folders, which may name a person."""
        if self.desk.on_air and event.value and not self.busy:
            self._say_here(typed_words(event.value))

    def action_again(self) -> None:
        """Check the files, and those that came into a folder since."""
        self._check_what_stands_at(self._paths)

    def _check_what_stands_at(self, paths: list[Path]) -> None:
        try:
            files = with_folders_opened(paths)
        except ValueError as error:
            self._say_here(veiled(str(error), [Secret(Kind.NOTE, str(path), path.name) for path in paths]))
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
        """Show what a check or a load found."""
        self._report = report
        self._findings.show(report, self._told, loaded=self._loaded)
        self.refresh_bindings()

    def action_warnings(self) -> None:
        """Show what should be looked at, or what was shown before."""
        self._findings.turn_to_warnings()

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
        self._findings.show_due(due_sentences(before, after))
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
        self._findings.show(None, None, loaded=False)
        self.refresh_bindings()
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

    def _say_here(self, sentence: str | Secret) -> None:
        self.query_one("#load-said", Paragraph).show(sentence)

    # The start line, and the columns of a spreadsheet

    def action_start_line(self) -> None:
        """Draw the start line."""
        self.run_worker(self._draw_line(), group="load", exit_on_error=False, description="draw the start line")

    async def _draw_line(self) -> None:
        before = await self.desk.call(summary)
        said = await draw_a_start_line(self.desk)
        self._findings.show_due(due_sentences(before, await self.desk.call(summary)))
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
