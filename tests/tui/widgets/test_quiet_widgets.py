"""Fields, bars, strip, sentences, head line: what they say and that they fit."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from types import ModuleType

from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.widgets.bars import bar_line
from breakdesk.tui.widgets.head_line import day_words
from breakdesk.tui.widgets.round_strip import RoundStrip, Step, StripItem
from breakdesk.tui.widgets.sentences import Sentence, Sentences

Load = Callable[[str], ModuleType]
Seen = Callable[[object], str]


def plain(lines: list[object]) -> list[str]:
    return [line.plain for line in lines]  # type: ignore[attr-defined]


@settings(max_examples=100, deadline=None)
@given(amounts=st.lists(st.integers(0, 10**6), min_size=1, max_size=8), width=st.integers(1, 100))
def test_bars_are_in_proportion_and_never_too_long(amounts: list[int], width: int) -> None:
    most = max(amounts)
    for amount in amounts:
        line = bar_line(amount, most, width)
        assert len(line) <= width
        assert bool(line) == bool(amount)
        if amount == most > 0:
            assert line == "━" * width


async def test_the_strip_says_where_one_is_and_keeps_it_in_sight(load_app: Load, seen: Seen) -> None:
    app = load_app("gallery").app
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f3")
        await pilot.pause()
        strip = app.screen.query_one(RoundStrip)
        for position in (0, 57, 199):
            items = [
                StripItem(f"claim {number}", Step.DONE if number < position else Step.OPEN) for number in range(200)
            ]
            strip.show(items, position)
            await pilot.pause()
            text = seen(app)
            assert f"{position + 1} of 200" in text
            assert f"{200 - position} left" in text
            assert f"▸ claim {position}" in text


async def test_sentences_are_walked_and_chosen(load_app: Load) -> None:
    chosen: list[str] = []

    module = load_app("gallery")

    class Today(DeskScreen):
        def compose_body(self) -> object:  # type: ignore[override]
            yield Sentences([Sentence("a", 3, "claims", "a", "1 burns."), Sentence("b", 0, "nothing", "b")])

        def on_sentences_chosen(self, event: Sentences.Chosen) -> None:
            chosen.append(event.sentence.id)

    class App(module.DeskApp):  # type: ignore[name-defined, misc]
        MODES = {"today": Today}

    app = App(desk_name="Harbour", now=lambda: module.NOW, go_on_after_failure=False)
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("enter", "down", "down", "enter", "up", "enter")
        await pilot.click(Sentences, offset=(20, 3))
        await pilot.pause()
    assert chosen == ["a", "b", "a", "b"]


def test_zero_is_quiet_and_still_a_sentence() -> None:
    sentences = Sentences([Sentence("d", 0, "nothing to decide", "d")])
    assert plain(sentences.build(80)) == ["  d       0  nothing to decide"]


async def test_long_values_wrap_under_the_value_and_gaps_are_seen(load_app: Load, seen: Seen) -> None:
    app = load_app("gallery").app
    async with app.run_test(size=(80, 24)) as pilot:
        await pilot.press("f3")
        await pilot.pause()
        lines = [line[25:] for line in seen(app).splitlines()]
        card = next(index for index, line in enumerate(lines) if line.startswith("Card"))
        assert lines[card + 1].startswith(" " * 11 + "one with")
        assert any(line.startswith("Reference  –") for line in lines)
        assert any("2026 (in 2 days)" in line for line in lines)


async def test_the_head_line_fits_where_there_is_little_room(load_app: Load, seen: Seen) -> None:
    for width in (40, 60, 80, 200):
        app = load_app("gallery").app
        async with app.run_test(size=(width, 24)) as pilot:
            for _ in range(2):
                first = seen(app).splitlines()[0]
                assert "3 March 2026" in first or width == 40
                assert "Today" in first
                assert cell_len(first) == width
                app.on_air = False
                await pilot.pause()
            assert "OFF AIR" in first


def test_days_are_written_as_people_write_them() -> None:
    assert day_words(date(2026, 3, 3)) == "Tuesday 3 March 2026"
    assert day_words(date(2026, 12, 31), weekday=False) == "31 December 2026"
