"""What is pasted or typed on the screen: nothing of it acts on the terminal, and the program goes on."""

from __future__ import annotations

import asyncio
import shutil
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

import pytest
from hostile_help import NASTY
from textual import events
from textual.pilot import Pilot

from breakdesk.desk.checking import verify
from breakdesk.desk.thread import DeskThread
from breakdesk.store.parties import read_house
from breakdesk.tui.app import Breakdesk

PASTED = (NASTY[0], NASTY[1], NASTY[5], NASTY[6], NASTY[13])
ACTING = ("\x1b[31mred", "\x1b]52;c;QUJD", "\x9b", "\x90", "\u202e", "\u2066", "\u2028", "\x7f", "\x85")
"""Of the hostile texts, what would act on a terminal if it were written to it."""


class Typist:
    """Pastes and presses, and keeps everything that was written to the terminal."""

    def __init__(self, app: Breakdesk, pilot: Pilot[Any], thread: DeskThread) -> None:
        self._app, self._pilot, self._thread = app, pilot, thread
        self.written: list[str] = []
        driver: Any = app._driver
        write = driver.write
        driver.write = lambda text: (self.written.append(text), write(text))[1]

    async def settle(self) -> None:
        """Waits for the desk and the screen."""
        for _ in range(2):
            await asyncio.wrap_future(self._thread.submit(lambda _desk: None))
            await self._pilot.pause()

    async def press(self, *keys: str) -> None:
        """Presses keys."""
        for key in keys:
            await self._pilot.press(key)
            await self.settle()

    async def paste(self, text: str) -> None:
        """Pastes a text where the cursor is."""
        if self._app.focused is not None:
            self._app.focused.post_message(events.Paste(text))
        await self.settle()

    def drawn(self) -> str:
        """All that stands on the screen and all that was written for it."""
        screen = "\n".join(strip.text for strip in self._app.screen._compositor.render_strips())
        return screen + "".join(self.written)


@asynccontextmanager
async def opened(filled: Path, folder: Path) -> AsyncIterator[Typist]:
    for part in filled.parent.glob(f"{filled.name}*"):
        shutil.copy(part, folder / part.name)
    thread = DeskThread(folder / filled.name)
    house = thread.submit(lambda _desk: read_house()).result()
    app = Breakdesk(thread, house, on_air=False, go_on_after_failure=False)
    async with app.run_test(size=(110, 36)) as pilot:
        typist = Typist(app, pilot, thread)
        await typist.settle()
        yield typist
    faults = thread.submit(lambda desk: list(verify(desk))).result()
    thread.close()
    assert faults == []


@pytest.mark.parametrize("place", ["f3", "f5"])
async def test_pasted_where_people_type(filled: Path, tmp_path: Path, place: str) -> None:
    async with opened(filled, tmp_path) as typist:
        await typist.press(place)
        for text in PASTED:
            await typist.paste(text)
            drawn = typist.drawn()
            assert not [acting for acting in ACTING if acting in drawn], repr(text)
            await typist.press("enter", "escape", place)


async def test_a_hostile_note_is_kept_and_shown_as_text(filled: Path, tmp_path: Path, tag: str) -> None:
    async with opened(filled, tmp_path) as typist:
        await typist.press("f5", *tag.lower(), "enter")
        for text in PASTED:
            await typist.press("n")
            await typist.paste(text)
            await typist.press("enter")
        drawn = typist.drawn()
        assert not [acting for acting in ACTING if acting in drawn]
        assert "[bold red]markup[/]" in drawn


async def test_a_damaged_file_is_a_sentence_on_the_screen_and_the_program_goes_on(filled: Path, tmp_path: Path) -> None:
    from breakdesk.store.engine import ENGINE_ERRORS

    async with opened(filled, tmp_path) as typist:
        typist._app.show_failure(ENGINE_ERRORS[1]("database disk image is malformed"))
        await typist.settle()
        assert "is damaged" in typist.drawn()
        assert "breakdesk restore" in " ".join(typist.drawn().split())
        await typist.press("escape", "f5")
        assert "first letters of anything" in typist.drawn()
