"""A machine clock that went backwards is said at the start and while the program is open."""

from __future__ import annotations

import asyncio
from typing import Any

import pytest

WORDS = "This computer's clock says 1 March 2026, 11:00, but"


async def test_said_at_the_start_until_it_is_right(stage: Any) -> None:
    stage.pull("Ada")
    stage.later(days=-1)
    async with stage.open() as player:
        assert f"{WORDS} the desk recorded something on 2 March 2026, 11:00. Set the clock right" in player.words
        stage.later(days=1)
        await player.press("l", "escape")
        assert "clock says" not in player.words


async def test_a_clock_that_goes_right_is_not_spoken_of(stage: Any) -> None:
    stage.pull("Ada")
    async with stage.open() as player:
        assert "clock" not in player.words
        stage.later(minutes=-1)
        await player.press("l", "escape")
        assert "clock" not in player.words


async def test_said_on_any_screen_while_it_is_open(stage: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("breakdesk.tui.app.CLOCK_SECONDS", 0.05)
    stage.pull("Ada")
    stage.later(days=30)
    async with stage.open() as player:
        await player.press("f4")
        stage.later(days=-31)
        for _ in range(100):
            await asyncio.sleep(0.02)
            if "clock" in player.words:
                break
        await player.press("f2")
        # Nothing was recorded in a month: it is the program itself that saw a later day.
        assert f"{WORDS} it already said 1 April 2026, 12:00." in player.words
        assert len(player.app._notifications) == 1
