"""The one thread that owns the desk's connection, for programs that must not wait for it."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor
from pathlib import Path
from typing import Concatenate, ParamSpec, TypeVar

from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.store.engine import ENGINE_ERRORS, line_came_back

Given = ParamSpec("Given")
Answer = TypeVar("Answer")


class DeskThread:
    """Runs actions and views one after the other on the thread that opened the desk."""

    def __init__(self, path: Path, clock: Clock | None = None, *, create: bool = False, who: str | None = None) -> None:
        """Opens the desk. Raises store.opening.CannotOpen, whose text is a sentence with its remedy."""
        self._pool = ThreadPoolExecutor(max_workers=1, thread_name_prefix="desk")
        try:
            self._desk: Desk = self._pool.submit(open_desk, path, clock, create=create, who=who).result()
        except BaseException:
            self._pool.shutdown()
            raise
        self.path = path
        self.clock = self._desk.clock

    def submit(
        self, do: Callable[Concatenate[Desk, Given], Answer], *given: Given.args, **named: Given.kwargs
    ) -> Future[Answer]:
        """Queues a call; the future tells what came of it."""
        return self._pool.submit(_with_the_line_up, self._desk, lambda desk: do(desk, *given, **named))

    async def call(
        self, do: Callable[Concatenate[Desk, Given], Answer], *given: Given.args, **named: Given.kwargs
    ) -> Answer:
        """Awaits a call without holding up the screen."""
        return await asyncio.wrap_future(self.submit(do, *given, **named))

    def close(self) -> None:
        """Waits for what is under way, then closes the desk."""
        self._pool.submit(self._desk.close).result()
        self._pool.shutdown()


def _with_the_line_up(desk: Desk, work: Callable[[Desk], Answer]) -> Answer:
    """Does some work, and does it once more where it only found that the line was lost, and the line is there again."""
    try:
        return work(desk)
    except ENGINE_ERRORS as error:
        if not line_came_back(desk.database, error):
            raise
    return work(desk)
