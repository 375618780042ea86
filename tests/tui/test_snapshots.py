"""How the ground of the screen looks: widgets and dialogs, dark and light, small and wide."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from textual.pilot import Pilot

SIZES = [(80, 24), (120, 40)]
THEMES = ["night", "day"]


def wearing(theme: str) -> Callable[[Pilot[Any]], Any]:
    """Put a theme on before the keys are pressed."""

    async def run_before(pilot: Pilot[Any]) -> None:
        pilot.app.theme = theme
        for widget in pilot.app.screen.query("Input"):
            widget.cursor_blink = False  # type: ignore[attr-defined]
        await pilot.pause()

    return run_before


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("theme", THEMES)
class TestPictures:
    def test_sentences(self, snap_compare: Any, size: tuple[int, int], theme: str) -> None:
        assert snap_compare("apps/gallery.py", terminal_size=size, run_before=wearing(theme))

    def test_round(self, snap_compare: Any, size: tuple[int, int], theme: str) -> None:
        assert snap_compare("apps/gallery.py", terminal_size=size, run_before=wearing(theme), press=["f3"])

    def test_long_list(self, snap_compare: Any, size: tuple[int, int], theme: str) -> None:
        assert snap_compare(
            "apps/listing.py", terminal_size=size, run_before=wearing(theme), press=["pagedown", "down", "p"]
        )

    def test_pick(self, snap_compare: Any, size: tuple[int, int], theme: str) -> None:
        assert snap_compare("apps/asking.py", terminal_size=size, run_before=wearing(theme), press=["p", "down"])


@pytest.mark.parametrize("theme", [*THEMES, "high-contrast", "terminal", "plain"])
def test_off_air(snap_compare: Any, theme: str) -> None:
    assert snap_compare(
        "apps/listing.py", terminal_size=(100, 24), run_before=wearing(theme), press=["down", "f9", "down", "enter"]
    )


@pytest.mark.parametrize("theme", THEMES)
def test_help(snap_compare: Any, theme: str) -> None:
    assert snap_compare("apps/listing.py", terminal_size=(80, 40), run_before=wearing(theme), press=["f1"])


def test_confirm_without_colour(snap_compare: Any) -> None:
    assert snap_compare("apps/asking.py", terminal_size=(80, 24), run_before=wearing("plain"), press=["s", "down"])
