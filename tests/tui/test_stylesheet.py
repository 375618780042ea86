"""The stylesheet is parsed once for each theme, whatever is opened."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from types import ModuleType
from typing import Any

import pytest
from textual.css import stylesheet

Load = Callable[[str], ModuleType]


async def test_what_is_opened_is_not_parsed_twice(load_app: Load, monkeypatch: pytest.MonkeyPatch) -> None:
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
        assert parsed
        assert max(parsed.values()) == 1


async def test_another_theme_has_its_own_colours(load_app: Load) -> None:
    app = load_app("asking").app
    async with app.run_test(size=(80, 24)) as pilot:
        before = app.screen.styles.background
        app.theme = "day"
        await pilot.pause()
        assert app.screen.styles.background != before
