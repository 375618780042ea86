"""What a check or a load of files found: what is wrong, what could be loaded, or what is due now."""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

from textual import on
from textual.app import ComposeResult
from textual.containers import Vertical, VerticalScroll

from breakdesk.desk.loading import LoadReport
from breakdesk.desk.loading.foreseeing import Foretold
from breakdesk.files.problems import Problem
from breakdesk.tui.choices import Choices
from breakdesk.tui.dialogs import Paragraph
from breakdesk.tui.load_words import (
    coming_fields,
    example_fields,
    found_fields,
    problem_columns,
    problem_parts,
    problem_row,
)
from breakdesk.tui.screens.load_commands import CHOICES, CHOICES_WITH_LINE
from breakdesk.tui.widgets.fields import Fields
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Provider, Row
from breakdesk.tui.widgets.sentences import Sentence, Sentences


class LoadFindings(Vertical):
    """The findings below the line of paths; only the parts that there are stand in sight."""

    def __init__(self) -> None:
        """Make it with nothing found yet."""
        super().__init__(id="load-findings")
        self._report: LoadReport | None = None
        self._told: Foretold | None = None
        self._loaded = False

    def compose(self) -> ComposeResult:
        """Lay out all parts."""
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
        """Begin empty."""
        self.query_one("#load-due", Sentences).can_focus = False
        self._show_parts()

    def show(self, report: LoadReport | None, told: Foretold | None, *, loaded: bool) -> None:
        """Show what was found; without a report nothing."""
        self._report, self._told, self._loaded = report, told, loaded
        if report is not None:
            for selector, problems in (("#load-problems", report.errors), ("#load-warnings", report.warnings)):
                rows = [problem_row(problem) for problem in problems]
                self.query_one(selector, LongList).show(_provider(rows), len(rows), cursor=0)
            self.query_one("#load-counts", Fields).show(found_fields(report))
            self.query_one("#load-first", Fields).show(example_fields(report))
            self.query_one("#load-coming", Fields).show(coming_fields(told))
            calm = told is not None and told.calm is not None
            self.query_one("#load-choices", Choices).show(CHOICES_WITH_LINE if calm else CHOICES)
        self._show_parts()

    def show_due(self, sentences: Sequence[Sentence]) -> None:
        """Show what is due now."""
        self.query_one("#load-due", Sentences).show(sentences)

    def turn_to_warnings(self) -> None:
        """Show what should be looked at, or what was shown before."""
        self._show_parts(warnings=not self.query_one("#load-warnings").display)

    def _show_parts(self, *, warnings: bool = False) -> None:
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

    @on(LongList.Moved)
    def _moved(self, event: LongList.Moved) -> None:
        if event.row is not None and event.long_list.display:
            self.query_one("#load-detail", Paragraph).show(*problem_parts(cast("Problem", event.row.key)))


def _provider(rows: Sequence[Row]) -> Provider:
    return lambda offset, limit: rows[offset : offset + limit]
