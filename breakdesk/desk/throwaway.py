"""A folder for a desk that nobody keeps."""

from __future__ import annotations

import os
import signal
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def throwaway_folder() -> Iterator[Path]:
    """A folder that is gone afterwards, also where the terminal is closed or the program is told to end."""

    told: list[int] = []

    def leave(number: int, _frame: object) -> None:
        told.append(number)
        sys.exit(128 + number)

    before = {
        getattr(signal, name): signal.signal(getattr(signal, name), leave)
        for name in ("SIGTERM", "SIGHUP")
        if hasattr(signal, name)
    }
    try:
        with tempfile.TemporaryDirectory(prefix="breakdesk-try-", ignore_cleanup_errors=True) as folder:
            yield Path(folder)
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)
        if told:
            # Threads that draw and read keys would go on for ever without a terminal.
            os._exit(128 + told[0])
