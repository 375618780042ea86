"""The long list asks for what it shows, and shows what came."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from datetime import UTC, datetime

import pytest
from textual.app import ComposeResult

from breakdesk.tui import masking
from breakdesk.tui.base import DeskApp
from breakdesk.tui.desk_screen import DeskScreen
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.long_list import LongList
from breakdesk.tui.widgets.rows import PAGE, Row

Seen = Callable[[object], str]


class Listed(DeskScreen):
    def __init__(self) -> None:
        super().__init__()
        self.moved: list[int] = []
        self.selected: list[object] = []

    def compose_body(self) -> ComposeResult:
        yield LongList(
            [Column(title="Number", width=8, right=True), Column(title="Words", width=20, stretch=1)],
            empty="Nothing is owed.",
        )

    def on_long_list_moved(self, event: LongList.Moved) -> None:
        self.moved.append(event.index)

    def on_long_list_selected(self, event: LongList.Selected) -> None:
        self.selected.append(event.row.key)


class App(DeskApp):
    MODES = {"today": Listed}


def make() -> App:
    return App(desk_name="Harbour", now=lambda: datetime(2026, 3, 3, tzinfo=UTC), go_on_after_failure=False)


class Source:
    """A provider that remembers what it was asked; closed, it answers only when it is opened."""

    def __init__(self, count: int, words: str = "row") -> None:
        self.count = count
        self.words = words
        self.asked: list[tuple[int, int]] = []
        self.open = asyncio.Event()
        self.open.set()

    async def __call__(self, offset: int, limit: int) -> Sequence[Row]:
        self.asked.append((offset, limit))
        await self.open.wait()
        stop = min(self.count, offset + limit)
        return [Row(number, (str(number), f"{self.words} {number}")) for number in range(offset, stop)]


@pytest.mark.parametrize("count", [0, 1, 7, 21, 22, 100_000])
async def test_ends_and_pages_of_lists_of_any_length(count: int, seen: Seen) -> None:
    app = make()
    async with app.run_test(size=(80, 24)) as pilot:
        rows = app.screen.query_one(LongList)
        source = Source(count)
        rows.show(source, count)
        await pilot.pause()
        assert ("Nothing is owed." in seen(app)) == (count == 0)
        for key, place in (
            ("end", count - 1),
            ("home", 0),
            ("pagedown", None),
            ("end", count - 1),
            ("down", count - 1),
        ):
            await pilot.press(key)
            await pilot.pause()
            if place is not None:
                assert rows.cursor == max(0, place)
            assert (rows.current is None) == (count == 0)
            if count:
                assert f"▸ {rows.cursor:>8}  row {rows.cursor} " in seen(app)
        assert all(limit <= PAGE for _offset, limit in source.asked)
        assert len(source.asked) <= 8


async def test_rows_given_at_once_do_as_well_as_rows_that_come_later(seen: Seen) -> None:
    app = make()
    async with app.run_test(size=(80, 24)) as pilot:
        app.screen.query_one(LongList).show(lambda _offset, _limit: [Row("a", ("1", "[bold]one[/] \x1b[31m"))], 1)
        await pilot.pause()
        assert "[bold]one[/]  [31m" in seen(app)


async def test_the_old_rows_stay_until_the_new_ones_come(seen: Seen) -> None:
    app = make()
    async with app.run_test(size=(80, 24)) as pilot:
        rows = app.screen.query_one(LongList)
        rows.show(Source(500, "old"), 500)
        await pilot.pause()
        new = Source(300, "new")
        new.open.clear()
        rows.show(new, 300)
        await pilot.pause()
        assert "old 3" in seen(app)
        assert "new" not in seen(app)
        new.open.set()
        await pilot.pause()
        assert "new 3" in seen(app)
        assert "old" not in seen(app)
        new.open.clear()
        await pilot.press("end")
        await pilot.pause()
        assert "new 3 " in seen(app)
        new.open.set()
        await pilot.pause()
        assert "▸      299  new 299" in seen(app)


async def test_a_late_answer_is_dropped(seen: Seen) -> None:
    app = make()
    async with app.run_test(size=(80, 24)) as pilot:
        rows = app.screen.query_one(LongList)
        late, quick = Source(50, "late"), Source(40, "quick")
        late.open.clear()
        rows.show(late, 50)
        await pilot.pause()
        rows.show(quick, 40)
        await pilot.pause()
        assert "quick 3" in seen(app)
        late.open.set()
        await pilot.pause()
        assert "late" not in seen(app)
        assert rows.count == 40


async def test_a_shorter_list_keeps_the_cursor_on_its_rows(seen: Seen) -> None:
    app = make()
    async with app.run_test(size=(80, 24)) as pilot:
        rows = app.screen.query_one(LongList)
        rows.show(Source(500), 500)
        await pilot.press("end")
        await pilot.pause()
        rows.show(Source(5, "few"), 5)
        await pilot.pause()
        assert rows.cursor == 4
        assert "few 0" in seen(app)
        assert "▸        4  few 4" in seen(app)
        rows.show(Source(0), 0)
        await pilot.pause()
        assert "Nothing is owed." in seen(app)
        assert rows.current is None


async def test_keys_and_mouse_tell_the_screen() -> None:
    app = make()
    async with app.run_test(size=(80, 24)) as pilot:
        rows = app.screen.query_one(LongList)
        rows.show(Source(50), 50, cursor=2)
        await pilot.pause()
        await pilot.press("down", "enter")
        await pilot.click(LongList, offset=(10, 6))
        await pilot.pause()
        assert rows.cursor == 5
        assert app.screen.selected == [3]
        await pilot.double_click(LongList, offset=(10, 8))
        await pilot.pause()
        assert app.screen.selected == [3, 7]
        assert app.screen.moved == [2, 3, 5, 7]
        await pilot.click(LongList, offset=(10, 0))
        assert rows.cursor == 7


async def test_secrets_follow_the_air(seen: Seen) -> None:
    app = make()
    async with app.run_test(size=(80, 24)) as pilot:
        rows = app.screen.query_one(LongList)
        rows.show(lambda _offset, _limit: [Row(1, ("1", masking.code("AB12")))], 1)
        await pilot.pause()
        assert "AB12" not in seen(app)
        assert "hidden on air" in seen(app)
        app.on_air = False
        await pilot.pause()
        assert "AB12" in seen(app)


async def test_a_resized_window_keeps_the_cursor_in_sight(seen: Seen) -> None:
    app = make()
    async with app.run_test(size=(80, 40)) as pilot:
        app.screen.query_one(LongList).show(Source(100), 100)
        await pilot.pause()
        for _ in range(30):
            await pilot.press("down")
        await pilot.resize_terminal(50, 12)
        await pilot.pause(0.3)
        assert "▸       30  row 30" in seen(app)


async def test_holding_the_key_down_asks_little_and_ends_right(seen: Seen) -> None:
    app = make()
    async with app.run_test(size=(80, 24)) as pilot:
        rows = app.screen.query_one(LongList)
        source = Source(100_000)
        rows.show(source, 100_000)
        await pilot.pause()
        await pilot.press(*["pagedown"] * 40)
        await pilot.pause()
        assert f"row {rows.cursor} " in seen(app)
        assert rows.cursor == 40 * 18
        assert len(source.asked) <= 40 * 18 // PAGE + 3
