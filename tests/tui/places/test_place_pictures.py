"""How the places look: small and wide, dark and light, on a desk with a year behind it and on an empty one."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual import events

from breakdesk.desk.listing import claim_rows
from breakdesk.tui import starting
from breakdesk.tui.starting import FirstStart

from ..waiting import settle

SIZES = [(80, 24), (120, 40)]
KEYS = {
    "totals": ["f4", "t"],
    "months": ["f4", "t", "o"],
    "year": ["f4", "t", "y"],
    "outlook": ["f7"],
    "outlook-of-one": ["f7", "down"],
    "settings-of-a-maker": ["f8", "down", "tab"],
    "settings-of-the-machine": ["f8", "end", "tab"],
    "safety": ["f8", "s"],
}
BAD = (
    "pulled_at,participant,subject,maker,expires_on,value\n"
    "2026-06-12,Ada Fenn,Kit Moor,Tern Cards,2027-13-01,12.00\n"
    "2026-06-1x,Bo Larch,Lee Dunn,Tern Cards,2027-01-01,twelve\n"
)


@pytest.fixture(autouse=True)
def _one_path(monkeypatch):
    monkeypatch.setattr("breakdesk.tui.settings_pages.path_words", lambda _path: "~/.config/breakdesk/settings.toml")


def walked(thread, keys, pasted=""):
    """Press keys, each once the desk has answered."""

    async def run_before(pilot: Any) -> None:
        await settle(pilot, thread)
        for key in keys:
            await pilot.press(key)
            await settle(pilot, thread)
        if pasted:
            pilot.app.focused.post_message(events.Paste(pasted))
            await settle(pilot, thread)
            await pilot.press("enter")
            await settle(pilot, thread)
        for widget in pilot.app.screen.query("Input"):
            widget.cursor_blink = False
        await pilot.pause()

    return run_before


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("name", KEYS)
def test_dark(snap_compare, sample, name, size):
    assert snap_compare(sample.app(), terminal_size=size, run_before=walked(sample.thread, KEYS[name]))


@pytest.mark.parametrize("name", ["totals", "outlook", "settings-of-a-maker"])
def test_light(snap_compare, sample, name):
    app = sample.app(theme="day")
    assert snap_compare(app, terminal_size=(80, 24), run_before=walked(sample.thread, KEYS[name]))


@pytest.mark.parametrize("name", ["totals", "outlook"])
def test_empty(snap_compare, empty, name):
    assert snap_compare(empty.app(), terminal_size=(80, 24), run_before=walked(empty.thread, KEYS[name]))


def test_very_wide(snap_compare, sample):
    assert snap_compare(sample.app(), terminal_size=(200, 50), run_before=walked(sample.thread, KEYS["outlook"]))


@pytest.mark.parametrize("theme", ["night", "day"])
def test_problems_of_a_file(snap_compare, empty, tmp_path, monkeypatch, theme):
    monkeypatch.chdir(tmp_path)
    Path("bad.csv").write_text(BAD)
    app = empty.app(theme=theme)
    assert snap_compare(app, terminal_size=(80, 24), run_before=walked(empty.thread, ["o"], "bad.csv"))


def test_a_file_that_could_be_loaded(snap_compare, empty, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("good.csv").write_text(BAD.replace("13-01", "12-01").replace("1x", "13").replace("twelve", "12"))
    assert snap_compare(empty.app(), terminal_size=(80, 24), run_before=walked(empty.thread, ["o"], "good.csv"))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_first_start(snap_compare, clock, tmp_path, monkeypatch, size):
    monkeypatch.setattr(starting, "machine_zone", lambda: "America/Denver")
    app = FirstStart(Path("desk.db"), clock, tmp_path, go_on_after_failure=False)
    assert snap_compare(app, terminal_size=size, run_before=walked(None, ["down"]))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
def test_the_outlook_of_a_claim(sample, snap_compare, size):
    tag = next(row.tag for row in sample.do(claim_rows, 0, 500) if row.state == "submitted")
    keys = ["f5", *tag.lower(), "enter", "e"]
    app = sample.app(theme="day" if size == SIZES[1] else "night")
    assert snap_compare(app, terminal_size=size, run_before=walked(sample.thread, keys))
