"""Hears on a thread and a connection of its own what other desks record, and when the line to the server is lost."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from breakdesk.desk.desk import Desk
from breakdesk.store.engine import ENGINE_ERRORS, news_of
from breakdesk.store.trouble import trouble_of

FIRST_WAIT, LONGEST_WAIT = 0.5, 30.0
"""Seconds before a lost line is tried again: twice as long each time, up to the longest."""


class Watcher:
    """What is known of the other desks. The screen reads it; the watcher's own thread writes it."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._ended = threading.Event()
        self._thread = threading.Thread(target=self._watch, name="other desks", daemon=True)
        self.heard = threading.Event()
        """Set whenever something was recorded, here or at another desk; whoever looks clears it."""
        self.trouble = ""
        """Why nothing is heard of the server, in a sentence; empty while the line is up."""

    def start(self) -> None:
        """Begins to listen."""
        self._thread.start()

    def end(self) -> None:
        """Stops listening."""
        self._ended.set()
        self._thread.join()

    def _watch(self) -> None:
        wait = FIRST_WAIT
        while not self._ended.is_set():
            try:
                for _ in news_of(self._path, self._ended.wait):
                    self.trouble, wait = "", FIRST_WAIT
                    self.heard.set()
            except (*ENGINE_ERRORS, OSError) as error:
                trouble = trouble_of(error, self._path)
                self.trouble = "The line is down." if trouble is None else trouble.what
                self._ended.wait(wait)
                wait = min(2 * wait, LONGEST_WAIT)


@contextmanager
def watching(path: Path) -> Iterator[Watcher]:
    """Watches the other desks while something goes on."""
    watcher = Watcher(path)
    watcher.start()
    try:
        yield watcher
    finally:
        watcher.end()


def others_acted(desk: Desk) -> bool:
    """Whether something was recorded at another desk since the person here last saw the desk."""
    return desk.seen.has_news(desk.database)


def look(desk: Desk) -> None:
    """The person here is shown the desk as it is now."""
    desk.seen.look(desk.database)
