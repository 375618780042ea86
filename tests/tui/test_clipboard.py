"""Copying says what was done and hides what must be hidden."""

from __future__ import annotations

import sys
from collections.abc import Callable
from types import ModuleType, SimpleNamespace

import pytest

from breakdesk.tui import masking
from breakdesk.tui.clipboard import copy_text


@pytest.fixture
def tool(monkeypatch: pytest.MonkeyPatch) -> list[str]:
    taken: list[str] = []
    monkeypatch.setitem(sys.modules, "pyperclip", SimpleNamespace(copy=taken.append))
    monkeypatch.delenv("SSH_CONNECTION", raising=False)
    monkeypatch.delenv("TMUX", raising=False)
    return taken


async def test_terminal_and_tool_both_get_the_text(load_app: Callable[[str], ModuleType], tool: list[str]) -> None:
    app = load_app("asking").app
    async with app.run_test():
        assert copy_text(app, "one\ntwo") == "Sent to the clipboard (2 lines)."
        assert tool == ["one\ntwo"]
        assert app.clipboard == "one\ntwo"


async def test_a_failing_tool_is_no_failure(
    load_app: Callable[[str], ModuleType], tool: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(_text: str) -> None:
        raise RuntimeError("no clipboard")

    monkeypatch.setitem(sys.modules, "pyperclip", SimpleNamespace(copy=fail))
    app = load_app("asking").app
    async with app.run_test():
        assert "by way of the terminal" in copy_text(app, "one")
        monkeypatch.setenv("TMUX", "yes")
        assert "tmux" in copy_text(app, "one")


async def test_over_ssh_only_the_terminal_is_asked(
    load_app: Callable[[str], ModuleType], tool: list[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SSH_CONNECTION", "here there")
    app = load_app("asking").app
    async with app.run_test():
        assert "by way of the terminal" in copy_text(app, "one")
        assert tool == []


async def test_nothing_is_never_copied(load_app: Callable[[str], ModuleType], tool: list[str]) -> None:
    app = load_app("asking").app
    async with app.run_test():
        copy_text(app, "before")
        assert copy_text(app, " \n") == "Nothing to copy here."
        assert app.clipboard == "before"


async def test_a_secret_is_copied_off_air_only(load_app: Callable[[str], ModuleType], tool: list[str]) -> None:
    app = load_app("asking").app
    async with app.run_test():
        assert copy_text(app, masking.code("AB12")) == "Not copied: the code is hidden on air."
        assert tool == []
        app.on_air = False
        assert "Sent" in copy_text(app, masking.code("AB12"))
        assert tool == ["AB12"]


class Held:
    """The system's clipboard."""

    def __init__(self) -> None:
        self.text = ""

    def copy(self, text: str) -> None:
        self.text = text

    def paste(self) -> str:
        return self.text


@pytest.fixture
def held(monkeypatch: pytest.MonkeyPatch) -> Held:
    clipboard = Held()
    monkeypatch.setitem(sys.modules, "pyperclip", clipboard)
    monkeypatch.delenv("SSH_CONNECTION", raising=False)
    return clipboard


async def test_a_code_is_cleared_after_the_time_that_is_set(load_app: Callable[[str], ModuleType], held: Held) -> None:
    app = load_app("asking").app
    app.on_air = False
    app.clear_codes_after = 0.05
    async with app.run_test() as pilot:
        app.on_air = False
        said = copy_text(app, masking.code("AB12-CD34"))
        assert "It is cleared there" in said
        assert held.text == "AB12-CD34"
        await pilot.pause(0.2)
        assert held.text == ""
        assert app.clipboard == ""
        copy_text(app, masking.code("AB12-CD34"))
        copy_text(app, "something else")
        await pilot.pause(0.2)
        assert held.text == "something else"
        assert app.clipboard == "something else"


async def test_leaving_clears_a_code_and_nothing_else(load_app: Callable[[str], ModuleType], held: Held) -> None:
    app = load_app("asking").app
    async with app.run_test():
        app.on_air = False
        copy_text(app, masking.code("AB12-CD34"))
        assert held.text == "AB12-CD34"
    assert held.text == ""


async def test_never_is_never(load_app: Callable[[str], ModuleType], held: Held) -> None:
    app = load_app("asking").app
    app.clear_codes_after = 0
    async with app.run_test():
        app.on_air = False
        assert "cleared" not in copy_text(app, masking.code("AB12-CD34"))
    assert held.text == "AB12-CD34"
