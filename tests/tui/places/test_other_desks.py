"""What another program does at the same desk comes onto the screen, and takes nothing from anybody's hands."""

from __future__ import annotations

import asyncio
import re
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from textual.widgets import Input

from breakdesk.desk.watching import watching
from breakdesk.tui.others import LOOK_SECONDS
from breakdesk.tui.widgets.long_list import LongList

PATIENCE = 15.0
"""Seconds on a busy machine; the promise is one second on one that is not."""
ELSEWHERE = """
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from breakdesk.desk import entering, following, submitting
from breakdesk.desk.marks import put_mark
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import open_desk
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.rules.ownership import Owner
desk = open_desk(Path(sys.argv[1]), Clock(lambda: datetime(2026, 6, 15, 18, 1, tzinfo=UTC)), who="BEA")
print("ready", flush=True)
for line in sys.stdin:
    what, tag, *rest = line.split()
    if what == "note":
        done = following.note(desk, tag, "from elsewhere")
    elif what == "open":
        done = f"Done {put_mark(desk, 'submit', tag)!r}"
    elif what == "submit":
        done = submitting.submit(desk, submitting.Submit(tag=tag, reference="BEA-1"))
    else:
        reading = Reading(subjects=Field((tag,)))
        done = entering.pull(desk, entering.Pull(break_id=None, reading=reading, owner=Owner.house()))
    print(done, flush=True)
desk.close()
"""


class Elsewhere:
    """Another program at the same desk."""

    def __init__(self, path: Path) -> None:
        pipe = subprocess.PIPE
        self._process = subprocess.Popen(
            [sys.executable, "-c", ELSEWHERE, str(path)], stdin=pipe, stdout=pipe, text=True
        )
        assert self._read() == "ready\n"

    def do(self, *words: str) -> str:
        """Does something there, waits until it is done, and returns what it says."""
        assert self._process.stdin is not None
        self._process.stdin.write(" ".join(words) + "\n")
        self._process.stdin.flush()
        said = self._read()
        assert said.startswith("Done"), said
        return said

    def _read(self) -> str:
        assert self._process.stdout is not None
        return self._process.stdout.readline()

    def leave(self) -> None:
        """Ends the program."""
        self._process.communicate(timeout=20)


@pytest.fixture
def elsewhere(sample: Any) -> Iterator[Elsewhere]:
    """Another program at the sample desk."""
    made = Elsewhere(sample.thread.path)
    yield made
    made.leave()


async def until(player: Any, holds: Callable[[], bool]) -> bool:
    """Whether something comes to hold by itself."""
    end = time.monotonic() + PATIENCE
    while not holds() and time.monotonic() < end:
        await asyncio.sleep(LOOK_SECONDS)
        await player.settle()
    return holds()


def to_submit(player: Any) -> int:
    """How many claims are to be submitted, as Today says."""
    found = re.search(r"(\d+) claims to submit", player.words)
    assert found is not None, player.seen
    return int(found[1])


async def test_a_claim_caught_elsewhere_is_counted_and_listed(sample: Any, elsewhere: Elsewhere) -> None:
    with watching(sample.thread.path) as watcher:
        async with sample.open(size=(120, 40), watcher=watcher) as player:
            before = to_submit(player)
            await asyncio.to_thread(elsewhere.do, "pull", "Somebody")
            assert await until(player, lambda: to_submit(player) == before + 1)


async def test_the_cursor_stays_on_its_row_and_the_half_typed_line_as_it_is(sample: Any, elsewhere: Elsewhere) -> None:
    with watching(sample.thread.path) as watcher:
        async with sample.open(size=(120, 40), watcher=watcher) as player:
            await player.press("f3")
            await player.press(*"bro gold")
            line = player.app.screen.query_one(Input)
            line.cursor_position = 3
            listed = player.app.screen.query_one("#caught", LongList)
            count = listed.count
            await asyncio.to_thread(elsewhere.do, "pull", "Somebody")
            await until(player, lambda: not watcher.heard.is_set())
            await asyncio.sleep(2 * LOOK_SECONDS)
            await player.settle()
            assert (line.value, line.cursor_position, line.has_focus) == ("bro gold", 3, True)
            assert listed.count == count
            await player.press("f4", "c")
            claims = player.app.screen.query_one(LongList)
            await player.press("down", "down", "down")
            row, cursor = claims.current, claims.cursor
            await asyncio.to_thread(elsewhere.do, "pull", "Another")
            assert await until(player, lambda: claims.cursor == cursor + 1)
            assert claims.current is not None
            assert row is not None
            assert claims.current.key == row.key


async def test_a_half_typed_field_of_a_round_waits_and_a_stale_action_is_refused(
    sample: Any, elsewhere: Elsewhere
) -> None:
    with watching(sample.thread.path) as watcher:
        async with sample.open(size=(120, 40), watcher=watcher) as player:
            await until(player, lambda: not watcher.heard.is_set())
            await player.press("s")
            tag = player.app.screen.item.tag
            await player.press("enter")
            assert isinstance(player.app.focused, Input)
            await player.press(*"Q-7")
            await asyncio.to_thread(elsewhere.do, "submit", tag)
            assert await until(player, lambda: not watcher.heard.is_set())
            assert player.app.focused.value == "Q-7"
            await player.press("enter")
            await player.settle()
            assert "BEA" in player.status
            assert "goes on top" in player.status
            await player.press("escape")
            assert await until(player, lambda: "BEA-1" in player.seen or "submitted" in player.seen)


async def test_an_item_that_is_open_at_another_desk_says_so_until_it_is_left(sample: Any, elsewhere: Elsewhere) -> None:
    with watching(sample.thread.path) as watcher:
        async with sample.open(size=(120, 40), watcher=watcher) as player:
            await player.press("s")
            first, second = (item.key for item in player.app.screen._items[:2])
            await asyncio.to_thread(elsewhere.do, "open", first)
            assert await until(player, lambda: "has this open since 12:01" in player.words)
            assert "BEA" in player.words
            assert "'T at" in await asyncio.to_thread(elsewhere.do, "open", first)
            assert "Done ''" in await asyncio.to_thread(elsewhere.do, "open", second)
            assert await until(player, lambda: "has this open" not in player.words)
            await player.press("down")
            assert await until(player, lambda: "has this open" in player.words)
            await player.press("escape")
            assert await until(player, lambda: not player.app.screen.query("#round-mark"))
        assert "Done ''" in await asyncio.to_thread(elsewhere.do, "open", second)
