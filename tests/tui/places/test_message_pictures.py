"""How messages to many and the wording look: small and wide, dark and light, full and empty, on air and off."""

from __future__ import annotations

from typing import Any

import pytest
from textual.widgets import Input, TextArea

from ..waiting import settle

SIZES = [(80, 24), (120, 40)]
PAGES = ["templates", "bulk"]


def opened(thread, page, *keys):
    """Open a page, press keys, each once the desk has answered."""

    async def run_before(pilot: Any) -> None:
        await settle(pilot, thread)
        pilot.app.action_open(page)
        await settle(pilot, thread)
        for key in keys:
            await pilot.press(key)
            await settle(pilot, thread)
        for widget in [*pilot.app.screen.query(Input), *pilot.app.screen.query(TextArea)]:
            widget.cursor_blink = False
        await pilot.pause()

    return run_before


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("page", PAGES)
def test_dark(snap_compare, sample, page, size):
    app = sample.app(on_air=False)
    assert snap_compare(app, terminal_size=size, run_before=opened(sample.thread, page))


@pytest.mark.parametrize("page", PAGES)
def test_light_and_on_air(snap_compare, sample, page):
    app = sample.app(theme="day")
    assert snap_compare(app, terminal_size=(80, 24), run_before=opened(sample.thread, page))


@pytest.mark.parametrize("page", PAGES)
def test_empty(snap_compare, empty, page):
    assert snap_compare(empty.app(), terminal_size=(80, 24), run_before=opened(empty.thread, page))


def test_a_mistake(snap_compare, sample):
    keys = ("enter", *"{{x}}")
    app = sample.app(on_air=False)
    assert snap_compare(app, terminal_size=(80, 24), run_before=opened(sample.thread, "templates", *keys))
