"""The air, the places, the keys in sight, and the way back."""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest
from textual.command import CommandPalette

from breakdesk.tui import masking
from breakdesk.tui.app_dialogs import GoOffAir
from breakdesk.tui.help import HelpScreen

Load = Callable[[str], ModuleType]
Seen = Callable[[object], str]


def record_writes(app: Any) -> list[str]:
    """Keep what is written to the terminal beside the screen, such as titles."""
    written: list[str] = []
    driver = app._driver
    write = driver.write
    driver.write = lambda text: (written.append(text), write(text))[1]
    return written


async def test_going_off_air_asks_and_enter_alone_stays(load_app: Load) -> None:
    app = load_app("asking").app
    async with app.run_test() as pilot:
        assert app.on_air
        await pilot.press("f9", "enter")
        assert app.on_air
        await pilot.press("f9", "f9")
        await pilot.pause()
        assert app.on_air
        assert not isinstance(app.screen, GoOffAir)
        await pilot.press("f9", "escape")
        assert app.on_air
        await pilot.press("f9", "down", "enter")
        await pilot.pause()
        assert not app.on_air


async def test_going_on_air_is_one_key_even_over_dialogs_and_while_typing(load_app: Load, seen: Seen) -> None:
    for key in ("s", "t", "p", "r"):
        app = load_app("asking").app
        async with app.run_test(size=(80, 40)) as pilot:
            app.on_air = False
            await pilot.press(key)
            await pilot.pause()
            assert "AB12" in seen(app)
            await pilot.press("f9")
            await pilot.pause()
            assert app.on_air
            assert "AB12" not in seen(app)
            assert "Ada Marsh" not in seen(app)
            assert "ON AIR" in seen(app)


async def test_off_air_the_secret_and_a_warning_in_words_are_seen(load_app: Load, seen: Seen) -> None:
    app = load_app("asking").app
    async with app.run_test(size=(120, 30)) as pilot:
        assert "hidden on air" in seen(app)
        await pilot.press("f9", "down", "enter")
        await pilot.pause()
        assert "AB12-CD34" in seen(app)
        assert "OFF AIR: codes, addresses and names can be seen" in seen(app)


async def test_titles_of_app_and_terminal_say_the_air(load_app: Load) -> None:
    app = load_app("asking").app
    async with app.run_test() as pilot:
        written = record_writes(app)
        await pilot.press("f9", "down", "enter")
        await pilot.pause()
        assert app.title == "Breakdesk – OFF AIR"
        assert "\x1b]2;Breakdesk – OFF AIR\x07" in written
        await pilot.press("f9")
        await pilot.pause()
        assert app.title == "Breakdesk – on air"
        assert "\x1b]2;Breakdesk – on air\x07" in written


async def test_notices_hide_secrets_and_go_when_the_air_comes(load_app: Load, seen: Seen) -> None:
    app = load_app("asking").app
    async with app.run_test(size=(80, 24), notifications=True) as pilot:
        app.on_air = False
        app.tell("Kept ", masking.code("ZZ99"), " [bold]")
        await pilot.pause(0.2)
        assert "Kept ZZ99 [bold]" in seen(app)
        app.on_air = True
        await pilot.pause(0.2)
        assert "ZZ99" not in seen(app)
        app.tell("Kept ", masking.code("ZZ99"))
        await pilot.pause(0.2)
        assert "Kept hidden on air" in seen(app)


async def test_places_keep_their_state_and_escape_leads_home(load_app: Load, seen: Seen) -> None:
    app = load_app("gallery").app
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("down", "down", "f3")
        await pilot.pause()
        assert app.current_mode == "catch"
        await pilot.press("escape")
        await pilot.pause()
        assert app.current_mode == "today"
        assert "▸ t" in seen(app)


async def test_only_places_that_there_are_are_offered(load_app: Load, seen: Seen) -> None:
    app = load_app("gallery").app
    async with app.run_test(size=(80, 24)) as pilot:
        assert "F3 Catch" in seen(app)
        assert "F4 Owed" not in seen(app)
        await pilot.press("f4")
        assert app.current_mode == "today"


@pytest.mark.parametrize("key", ["f1", "question_mark"])
async def test_help_tells_what_the_screen_is_and_its_keys(load_app: Load, seen: Seen, key: str) -> None:
    app = load_app("listing").app
    async with app.run_test(size=(100, 50)) as pilot:
        await pilot.press(key)
        await pilot.pause()
        assert isinstance(app.screen, HelpScreen)
        text = seen(app)
        assert "Everything that is owed, the oldest first." in text
        assert "Put the claim aside until a day." in text
        assert "Ctrl+P" in text
        await pilot.press("escape")
        assert not isinstance(app.screen, HelpScreen)


async def test_the_palette_finds_and_runs_a_command_of_the_screen(load_app: Load, seen: Seen) -> None:
    app = load_app("listing").app
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("ctrl+p")
        await pilot.pause()
        assert CommandPalette.is_open(app)
        await pilot.press(*"park")
        await app.screen.workers.wait_for_complete()
        await pilot.pause(0.3)
        await pilot.press("enter")
        await pilot.pause(0.1)
        if CommandPalette.is_open(app):
            await pilot.press("enter")
        await pilot.pause()
        assert "Parked until" in seen(app)


async def test_a_click_on_a_key_does_what_the_key_does(load_app: Load, seen: Seen) -> None:
    app = load_app("listing").app
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.click("KeyLine", offset=(3, 0))
        await pilot.pause()
        assert "Parked until" in seen(app)


async def test_the_foot_wraps_and_stays_at_two_lines(load_app: Load) -> None:
    app = load_app("listing").app
    async with app.run_test(size=(40, 24)) as pilot:
        await pilot.pause()
        assert app.screen.query_one("KeyLine").size.height == 2
