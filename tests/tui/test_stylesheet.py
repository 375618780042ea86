"""The stylesheet is parsed once for each theme, whatever is opened."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest
from textual.css import stylesheet

from breakdesk.tui.base import DeskApp

Load = Callable[[str], ModuleType]


async def test_our_own_is_parsed_once_whatever_is_opened(load_app: Load, monkeypatch: pytest.MonkeyPatch) -> None:
    parsed: Counter[str] = Counter()
    parse = stylesheet.parse

    def counted(scope: str, css: str, *given: Any, **named: Any) -> Any:
        parsed[css] += 1
        return parse(scope, css, *given, **named)

    monkeypatch.setattr(stylesheet, "parse", counted)
    app = load_app("asking").app
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f1", "escape")
        await pilot.pause()
        assert parsed[DeskApp.CSS_PATH.read_text(encoding="utf-8")] == 1


async def test_another_theme_has_its_own_colours(load_app: Load) -> None:
    app = load_app("asking").app
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.screen.styles.background
        app.theme = "day"
        await pilot.pause()
        assert app.screen.styles.background != before
