"""Dialogs answer what was chosen, and Escape changes nothing."""

from __future__ import annotations

from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest
from textual.widgets import Input

from breakdesk.tui.choices import Choice
from breakdesk.tui.dialogs import AskText, Confirm, Dialog, Pick, ShowText

Load = Callable[[str], ModuleType]


async def answer(load_app: Load, dialog: Dialog[Any], *keys: str) -> object:
    app = load_app("asking").app
    answers: list[object] = []
    async with app.run_test(size=(80, 24)) as pilot:
        app.push_screen(dialog, answers.append)
        await pilot.pause()
        await pilot.press(*keys)
        await pilot.pause()
    assert len(answers) == 1
    return answers[0]


@pytest.mark.parametrize(
    ("keys", "expected"), [(["enter"], False), (["escape"], False), (["down", "enter"], True), (["y", "enter"], False)]
)
async def test_confirm_needs_two_keys_to_say_yes(load_app: Load, keys: list[str], expected: bool) -> None:
    assert await answer(load_app, Confirm("Close it?", yes="Close"), *keys) is expected


@pytest.mark.parametrize(("keys", "expected"), [(["down", "enter"], "b"), (["escape"], None)])
async def test_pick_answers_the_id(load_app: Load, keys: list[str], expected: str | None) -> None:
    assert await answer(load_app, Pick("Which?", [Choice("a", "A"), Choice("b", "[/b]")]), *keys) == expected


@pytest.mark.parametrize(("keys", "expected"), [(["x", "y", "space", "enter"], "xy"), (["x", "escape"], None)])
async def test_ask_text_answers_the_line(load_app: Load, keys: list[str], expected: str | None) -> None:
    assert await answer(load_app, AskText("What?"), *keys) == expected


@pytest.mark.parametrize(("keys", "expected"), [(["x", "enter"], "x"), (["end", "x", "enter"], "old onex")])
async def test_what_stands_there_is_replaced_by_typing(load_app: Load, keys: list[str], expected: str) -> None:
    assert await answer(load_app, AskText("What?", value="old one"), *keys) == expected


async def test_a_wrong_text_is_told_and_can_be_mended(load_app: Load, seen: Callable[[object], str]) -> None:
    app = load_app("asking").app
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("t", "enter")
        await pilot.pause()
        assert "at least 6 characters" in seen(app)
        assert app.screen.query_one(Input).value == "AB12"
        await pilot.press("end", "C", "D", "enter")
        await pilot.pause()
        assert "Saved: hidden on air" in seen(app)


async def test_a_shown_text_with_a_secret_is_copied_off_air_only(
    load_app: Load, seen: Callable[[object], str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SSH_CONNECTION", "keeps the system's tool out")
    app = load_app("asking").app
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("r", "y")
        await pilot.pause()
        assert "Not copied: the text is hidden on air." in seen(app)
        app.on_air = False
        await pilot.press("y")
        await pilot.pause()
        assert app.clipboard.endswith("Code AB12-CD34")


async def test_a_shown_text_scrolls(load_app: Load, seen: Callable[[object], str]) -> None:
    app = load_app("asking").app
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("r")
        await pilot.pause()
        assert isinstance(app.screen, ShowText)
        assert "Line 39" not in seen(app)
        await pilot.press("end")
        await pilot.pause(0.5)
        assert "Line 39" in seen(app)


@pytest.mark.parametrize(
    ("dialog", "key", "told"),
    [
        (Confirm("Close it?", yes="Close"), "question_mark", "Enter alone changes nothing"),
        (Pick("Which?", [Choice("a", "A")]), "question_mark", "Escape takes none"),
        (AskText("What?"), "f1", "an arrow key keeps it"),
        (ShowText("A text", "words"), "question_mark", "Copy the whole text"),
    ],
    ids=lambda value: type(value).__name__,
)
async def test_help_in_a_dialog_tells_its_keys_and_comes_back(
    load_app: Load, seen: Callable[[object], str], dialog: Dialog[Any], key: str, told: str
) -> None:
    app = load_app("asking").app
    async with app.run_test(size=(120, 40)) as pilot:
        app.push_screen(dialog)
        await pilot.pause()
        await pilot.press(key)
        await pilot.pause()
        assert told in " ".join(seen(app).split())
        await pilot.press("escape")
        await pilot.pause()
        assert app.screen is dialog


async def test_a_long_choice_goes_on_under_its_own_words(load_app: Load, seen: Callable[[object], str]) -> None:
    app = load_app("asking").app
    async with app.run_test(size=(40, 24)) as pilot:
        app.push_screen(Pick("Which?", [Choice("a", "Keep it", "as many words as do not fit into one line of this")]))
        await pilot.pause()
        lines = [line.rstrip() for line in seen(app).splitlines()]
        first = next(place for place, line in enumerate(lines) if "▸ Keep it" in line)
        assert lines[first + 1].index(lines[first + 1].strip()) == lines[first].index("Keep")
