"""A failure is a plain sentence and a report without a secret, and the desk goes on."""

from __future__ import annotations

import sys
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from functools import partial
from pathlib import Path

import pytest
from textual.app import ComposeResult
from textual.content import Content
from textual.pilot import Pilot

from breakdesk.desk.failures import MOST_REPORTS, report_text
from breakdesk.tui.app_dialogs import FailureDialog
from breakdesk.tui.base import DeskApp
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.failures import write_report
from breakdesk.tui.widgets.cells import fit
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.lines import Lines
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import Row

NOW = datetime(2026, 3, 3, 14, 30, tzinfo=UTC)


def caught() -> BaseException:
    try:
        try:
            fit("code AB12-CD34", "wide")  # type: ignore[arg-type]
        except TypeError as first:
            raise ValueError("the address is Harbour Lane 5") from first
    except ValueError as error:
        return error


def test_a_report_names_kinds_and_our_lines_and_no_value() -> None:
    text = report_text(caught(), NOW)
    assert "ValueError" in text
    assert "TypeError" in text
    assert "tui/widgets/cells.py line" in text
    assert "Harbour" not in text
    assert "AB12" not in text
    assert "test_failures" not in text
    assert str(Path.home()) not in text


def test_a_report_that_cannot_be_written_is_no_second_failure(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("")
    assert write_report(blocked, caught(), NOW) is None
    assert write_report(None, caught(), NOW) is None


def test_reports_are_for_their_owner_and_only_the_newest_stay(tmp_path: Path) -> None:
    for minute in range(MOST_REPORTS + 5):
        assert write_report(tmp_path / "log", caught(), NOW + timedelta(minutes=minute)) is not None
    reports = sorted((tmp_path / "log").iterdir())
    assert len(reports) == MOST_REPORTS
    assert reports[-1].name == f"failure-{NOW + timedelta(minutes=MOST_REPORTS + 4):%Y%m%d-%H%M%S-%f}.txt"
    if sys.platform != "win32":
        assert {path.stat().st_mode & 0o077 for path in (tmp_path / "log", *reports)} == {0}


class Failing(DeskScreen):
    TITLE_WORDS = "Failing"

    def compose_body(self) -> ComposeResult:
        yield LongList([Column(title="Claim", width=8)])

    async def fail_in_worker(self) -> None:
        raise KeyError("AB12-CD34")

    def key_w(self) -> None:
        self.run_worker(self.fail_in_worker())

    def key_q(self) -> None:
        self.run_worker(self.fail_in_worker(), exit_on_error=False)

    def key_h(self) -> None:
        raise KeyError("AB12-CD34")

    def key_l(self) -> None:
        def provide(_offset: int, _limit: int) -> list[Row]:
            raise KeyError("AB12-CD34")

        self.query_one(LongList).show(provide, 5)

    def key_o(self) -> None:
        self.say("Still here.")


class App(DeskApp):
    MODES = {"today": Failing}

    def action_go(self, place: str) -> None:
        raise KeyError("AB12-CD34")


@pytest.mark.parametrize("key", ["w", "q", "h", "l", "f2"])
async def test_wherever_it_fails_the_desk_goes_on(key: str, tmp_path: Path, seen: Callable[[object], str]) -> None:
    app = App(desk_name="Harbour", now=lambda: NOW, report_folder=tmp_path)
    async with app.run_test(size=(80, 24)) as pilot:
        for _ in range(2):
            await pilot.press(key)
            await pilot.pause()
            assert isinstance(app.screen, FailureDialog)
            text = seen(app)
            assert "Something went wrong here" in text
            assert "Traceback" not in text
            assert "AB12" not in text
            await pilot.press("escape")
            await pilot.pause()
            assert not isinstance(app.screen, FailureDialog)
        await pilot.press("o")
        await pilot.pause()
        assert "Still here." in seen(app)
    reports = [report.read_text() for report in tmp_path.iterdir()]  # noqa: ASYNC240
    assert reports
    assert not any("AB12" in report for report in reports)


class BrokenLines(Lines):
    def build(self, width: int) -> list[Content]:
        raise KeyError("AB12-CD34")


class BrokenDrawing(DeskScreen):
    def compose_body(self) -> ComposeResult:
        yield BrokenLines()


class BrokenComposing(DeskScreen):
    def compose_body(self) -> ComposeResult:
        raise KeyError("AB12-CD34")


class BrokenPlaces(DeskApp):
    MODES = {"today": Failing, "catch": BrokenDrawing, "owed": BrokenComposing}


async def pressed(pilot: Pilot[None], *keys: str) -> None:
    """Press keys. The pilot draws, too: what fails in its own hands reaches this test instead of the program."""
    for step in (*(partial(pilot.press, key) for key in keys), pilot.pause, pilot.pause):
        with suppress(KeyError):
            await step()


@pytest.mark.parametrize("key", ["f3", "f4"])
async def test_a_broken_screen_can_be_left(key: str, seen: Callable[[object], str]) -> None:
    app = BrokenPlaces(desk_name="Harbour", now=lambda: NOW)
    async with app.run_test(size=(80, 24)) as pilot:
        await pressed(pilot, key)
        assert isinstance(app.screen, FailureDialog)
        await pressed(pilot, "escape")
        assert not isinstance(app.screen, FailureDialog)
        await pressed(pilot, "f2", "o")
        assert "Still here." in seen(app)


async def press_the_failing_key(app: App) -> None:
    async with app.run_test() as pilot:
        await pilot.press("h")
        await pilot.pause()


async def test_where_it_is_told_not_to_go_on_a_failure_ends_it() -> None:
    with pytest.raises(KeyError):
        await press_the_failing_key(App(desk_name="Harbour", now=lambda: NOW, go_on_after_failure=False))
