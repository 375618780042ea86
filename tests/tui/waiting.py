"""Waiting until the program is at rest, by asking its event loop instead of watching the machine.

Textual's own test driver waits until the process uses little processor time: at least a fiftieth of a second for each
pause and each key, and not long enough where the machine is busy with something else.
"""

from __future__ import annotations

import asyncio
from concurrent.futures import Future, ThreadPoolExecutor
from typing import TYPE_CHECKING, Any

from textual._context import active_app
from textual.pilot import Pilot

from breakdesk.desk.thread import DeskThread

if TYPE_CHECKING:
    import pytest

SOON = 0.02
"""Seconds: what is to happen so soon, such as the next picture of a screen, is waited for; a blinking cursor is not."""
LONGEST = 1.0
"""Seconds after which whatever never rests, such as a moving bar, is let be."""
PATIENCE = 0.5
"""Seconds that a thread may work while nothing else happens; who holds one up on purpose waits for it once."""
CALM_TURNS = 3
"""So many turns of the loop in a row must find nothing to do."""

_in_flight: set[Future[Any]] = set()


async def at_rest(_shortest: float = 0.0, longest: float = LONGEST) -> None:
    """Wait until nothing is to be done now or very soon, in the event loop or in a thread that it waits for."""
    loop: Any = asyncio.get_running_loop()
    end = loop.time() + longest
    patient_until = end
    waited_for_thread = False
    calm = 0
    app = active_app.get(None)
    while calm < CALM_TURNS and (now := loop.time()) < end and not (app is not None and app._exit):
        await asyncio.sleep(0)
        due = min((timer.when() for timer in loop._scheduled if not timer.cancelled()), default=end)
        if loop._ready:
            calm = 0
        elif due <= loop.time() + SOON:
            calm = 0
            await asyncio.sleep(max(0.0, due - loop.time()))
        elif working := [work for work in _in_flight.copy() if not work.done()]:
            if not waited_for_thread or calm:
                waited_for_thread, patient_until = True, now + PATIENCE
            calm = 0
            if now > patient_until:
                _in_flight.difference_update(working)
                return
            await asyncio.sleep(0.002)
        else:
            calm += 1
            if waited_for_thread and calm == CALM_TURNS:
                waited_for_thread, calm = False, 0
                await asyncio.sleep(0.001)
    _in_flight.difference_update([work for work in _in_flight.copy() if work.done()])


async def drawn(pilot: Pilot[Any]) -> None:
    """Wait until the program is at rest and has drawn its screen itself, with its own answer to failures."""
    await at_rest()
    screen = pilot.app.screen
    screen.call_next(screen._on_timer_update)
    await at_rest()


async def settle(pilot: Pilot[Any], desk: DeskThread | None = None) -> None:
    """Wait until the desk has answered, however long it takes, the program is at rest and its screen is drawn."""
    for _ in range(2):
        if desk is not None:
            await asyncio.wrap_future(desk.submit(lambda _desk: None))
        await drawn(pilot)


_submit = ThreadPoolExecutor.submit


def followed(pool: ThreadPoolExecutor, *given: Any, **named: Any) -> Future[Any]:
    """Give work to a thread, as `submit` does, and remember that it is under way."""
    work = _submit(pool, *given, **named)
    _in_flight.add(work)
    return work


def wait_by_the_loop(patch: pytest.MonkeyPatch) -> None:
    """Let Textual's test driver wait in this way."""

    async def pause(pilot: Pilot[Any], delay: float = 0.0) -> None:
        await pilot._wait_for_screen()
        await asyncio.sleep(delay)
        await drawn(pilot)

    patch.setattr(ThreadPoolExecutor, "submit", followed)
    patch.setattr(Pilot, "pause", pause)
    # What changed is drawn at once, not with the next sixtieth of a second.
    patch.setattr("textual.screen.UPDATE_PERIOD", 0.002)
    patch.setattr("textual.pilot.wait_for_idle", at_rest)
    patch.setattr("textual.app.wait_for_idle", at_rest)
