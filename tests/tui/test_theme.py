"""Every text can be read on its ground, in every theme whose colours are ours."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import product
from pathlib import Path
from types import ModuleType

import pytest
from textual.color import Color
from textual.widgets import OptionList

import breakdesk.tui
from breakdesk.tui.theme import THEME_WORDS, THEMES, theme_for

STYLESHEET = (Path(breakdesk.tui.__file__).parent / "breakdesk.tcss").read_text(encoding="utf-8")
FULL_THEMES = [theme for theme in THEMES if not theme.ansi]
INHERITED_GROUNDS = ("background", "panel")
"""What text without a ground of its own stands on: the screen, or a dialog."""
WIDGET_TEXTS = ("foreground", "quiet", "accent")
"""The tones that the widgets write in."""
WIDGET_PAIRS = (("badge-ink", "badge"), ("chosen-ink", "chosen"))
ENOUGH = 4.5


def luminance(color: Color) -> float:
    """Return the relative luminance, as WCAG 2.2 defines it."""

    def linear(channel: float) -> float:
        return channel / 12.92 if channel <= 0.04045 else ((channel + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(channel / 255) for channel in color.rgb)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: Color, other: Color) -> float:
    """Return the contrast ratio, as WCAG 2.2 defines it."""
    darker, lighter = sorted((luminance(one), luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def stylesheet_pairs() -> set[tuple[str, str]]:
    """Return every text variable with every ground variable that it may stand on."""
    pairs: set[tuple[str, str]] = set(WIDGET_PAIRS) | set(product(WIDGET_TEXTS, INHERITED_GROUNDS))
    for block in re.findall(r"\{([^}]*)\}", STYLESHEET):
        text = re.search(r"(?<![-\w])color: \$([\w-]+)", block)
        ground = re.search(r"(?<![-\w])background: \$([\w-]+)", block)
        if text:
            pairs |= set(product([text[1]], [ground[1]] if ground else INHERITED_GROUNDS))
        elif ground:
            pairs |= set(product(WIDGET_TEXTS, [ground[1]]))
    return pairs


@pytest.mark.outside(rule="contrast of text at least 4.5:1", source="WCAG 2.2, success criterion 1.4.3")
@pytest.mark.parametrize("theme", FULL_THEMES, ids=lambda theme: theme.name)
def test_every_pair_of_the_stylesheet_can_be_read(theme: object) -> None:
    variables = theme.to_color_system().generate() | theme.variables  # type: ignore[attr-defined]
    low = {
        pair: round(contrast(*(Color.parse(variables[name]) for name in pair)), 2)
        for pair in stylesheet_pairs()
        if contrast(*(Color.parse(variables[name]) for name in pair)) < ENOUGH
    }
    assert low == {}


@pytest.mark.outside(rule="contrast of text at least 4.5:1", source="WCAG 2.2, success criterion 1.4.3")
@pytest.mark.parametrize("theme", FULL_THEMES, ids=lambda theme: theme.name)
@pytest.mark.parametrize(
    ("name", "keys"), [("gallery", ["f3"]), ("listing", ["down"]), ("asking", ["p"]), ("asking", ["t", "enter"])]
)
async def test_every_drawn_letter_can_be_read(
    theme: object, name: str, keys: list[str], load_app: Callable[[str], ModuleType]
) -> None:
    app = load_app(name).app
    app.theme = theme.name  # type: ignore[attr-defined]
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press(*keys)
        await pilot.pause()
        low = set()
        for strip in app.screen._compositor.render_strips():
            for segment in strip:
                style = segment.style
                if not segment.text.strip(" │┃▌▏▎▔▁━╸─") or style is None or style.color is None or style.reverse:
                    continue
                assert style.bgcolor is not None
                ratio = contrast(Color.from_rich_color(style.color), Color.from_rich_color(style.bgcolor))
                if ratio < ENOUGH:
                    low.add((segment.text, round(ratio, 2), style.color.name, style.bgcolor.name))
        assert low == set()


def test_the_stylesheet_names_no_colour_of_its_own() -> None:
    values = re.findall(r"(?:color|background|border[\w-]*):\s*([^;]+);", STYLESHEET)
    assert values
    for value in values:
        bare = re.sub(r"\$[\w-]+", "", value)
        assert set(bare.split()) <= {"none", "transparent", "outer", "solid"}, value
    assert "%" not in "".join(value for value in values)


def test_every_theme_has_words_for_people() -> None:
    assert set(THEME_WORDS) == {theme.name for theme in THEMES}


async def test_every_theme_can_be_worn(load_app: Callable[[str], ModuleType]) -> None:
    app = load_app("asking").app
    async with app.run_test() as pilot:
        assert set(app.available_themes) == set(THEME_WORDS)
        for theme in THEMES:
            app.theme = theme.name
            await pilot.press("p")
            await pilot.pause()
            assert app.screen.query_one(OptionList).highlighted == 0
            await pilot.press("escape")


async def test_no_color_leaves_every_colour_to_the_terminal(
    load_app: Callable[[str], ModuleType], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    app = load_app("listing").app
    async with app.run_test(size=(100, 30)) as pilot:
        await pilot.press("down")
        await pilot.pause()
        strips = app.screen._compositor.render_strips()
        styles = [segment.style for strip in strips for segment in strip if segment.style is not None]
        colours = {colour.name for style in styles for colour in (style.color, style.bgcolor) if colour is not None}
        assert colours <= {"default"}
        assert any(style.reverse for style in styles)


@pytest.mark.parametrize(
    ("chosen", "color_system", "taken"),
    [
        ("night", "truecolor", "night"),
        ("day", "256", "day"),
        ("night", "standard", "terminal"),
        ("day", None, "day"),
        ("plain", "standard", "plain"),
    ],
)
def test_a_terminal_of_few_colours_gets_its_own(chosen: str, color_system: str | None, taken: str) -> None:
    assert theme_for(chosen, color_system) == taken
