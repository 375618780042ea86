"""How the Catch screen looks in the states that matter: small and wide, dark and light, on air and off, colourless."""

from __future__ import annotations

import os
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from breakdesk.tui.screens.catch_photos import NightPhotosScreen
from breakdesk.tui.theme import PLAIN_THEME

from ..waiting import settle
from .conftest import Stage, settled, to_catch, type_line

SIZES = [(80, 24), (120, 40)]
TAG = "7K3M9A"

Before = Callable[[Pilot[Any]], Awaitable[None]]


def showing(*steps: str, theme: str = "night", tag: str = TAG) -> Before:
    """Go to Catch, type lines (Enter is `+`), and wait until all of it stands there."""

    async def before(pilot: Pilot[Any]) -> None:
        pilot.app.theme = theme
        screen = await to_catch(pilot)
        for step in steps:
            await type_line(pilot, step.rstrip("+"))
            for _ in range(step.count("+")):
                await pilot.press("enter")
                await settle(pilot)
        if steps and TAG in steps[-1]:
            await settled(pilot, lambda: bool(screen.caught))
        await pilot.app.workers.wait_for_complete()
        await settle(pilot)
        screen.query_one("#entry").cursor_blink = False  # type: ignore[attr-defined]
        await settle(pilot)

    return before


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
class TestPictures:
    def test_no_break(self, snap_compare: Any, stage: Stage, size: tuple[int, int]) -> None:
        assert snap_compare(stage.app(), terminal_size=size, run_before=showing())

    def test_nothing_typed(self, snap_compare: Any, night: Stage, size: tuple[int, int]) -> None:
        assert snap_compare(night.app(), terminal_size=size, run_before=showing())

    def test_sure(self, snap_compare: Any, night: Stage, size: tuple[int, int]) -> None:
        assert snap_compare(night.app(), terminal_size=size, run_before=showing("kai marlowe 3/10 box 2 exp 3/29"))

    def test_doubtful(self, snap_compare: Any, night: Stage, size: tuple[int, int]) -> None:
        assert snap_compare(night.app(), terminal_size=size, run_before=showing("marl 12/10 exp 3/24 zorg+"))

    def test_several_owners(self, snap_compare: Any, night: Stage, size: tuple[int, int]) -> None:
        assert snap_compare(night.app(), terminal_size=size, run_before=showing("marlowe oster"))

    def test_saved(self, snap_compare: Any, night: Stage, size: tuple[int, int]) -> None:
        steps = ("oster tag 7K3M9D+", f"marl /10 box 2 exp 3/29 tag {TAG}+")
        assert snap_compare(night.app(), terminal_size=size, run_before=showing(*steps))


def test_nobody_yet(snap_compare: Any, stage: Stage) -> None:
    stage.start("Last digits")
    assert snap_compare(stage.app(), terminal_size=(80, 24), run_before=showing("kest"))


def test_off_air(snap_compare: Any, night: Stage) -> None:
    assert snap_compare(
        night.app(on_air=False), terminal_size=(120, 40), run_before=showing(f"dell tag {TAG}+", theme="day")
    )


def test_without_colour(snap_compare: Any, night: Stage) -> None:
    assert snap_compare(night.app(), terminal_size=(80, 24), run_before=showing("marl 12/10+", theme=PLAIN_THEME))


def test_a_low_screen_keeps_the_last_claims_in_sight(snap_compare: Any, night: Stage) -> None:
    steps = (f"marl /10 box 2 exp 3/29 tag {TAG}+", "kai marlowe 12/10")
    assert snap_compare(night.app(), terminal_size=(60, 20), run_before=showing(*steps))


def test_photos_of_the_night(snap_compare: Any, night: Stage, tmp_path: Path) -> None:
    folder = tmp_path / "phone"
    folder.mkdir()
    for number, seconds in enumerate((20, 35, 90_000)):
        path = folder / f"IMG_{number}.jpg"
        path.write_bytes(b"a picture")
        os.utime(path, (night.tell[0].timestamp() + seconds,) * 2)

    async def before(pilot: Pilot[Any]) -> None:
        await showing("oster tag 7K3M9D+", f"marl /10 tag {TAG}+")(pilot)
        await pilot.press("ctrl+b", *["down"] * 5, "enter")
        await settle(pilot)
        await pilot.press(*str(folder), "enter")
        await settled(pilot, lambda: isinstance(pilot.app.screen, NightPhotosScreen))

    assert snap_compare(night.app(), terminal_size=(100, 24), run_before=before)
