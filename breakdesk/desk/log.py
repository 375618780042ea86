"""The log: when the screen was open, when backups were made, when something failed. Only words of ours and numbers.

It helps to find out what happened to a desk. What it can hold is fixed here, so that no code, name, address or path can
come into it. It is rotated, and only its owner can read it.
"""

from __future__ import annotations

import time
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Any

import breakdesk
from breakdesk.files.private import for_its_owner

if TYPE_CHECKING:
    import logging

NAME = "breakdesk.log"
LARGEST = 256 * 1024
"""Bytes after which a new file is begun."""
KEPT = 3
"""How many earlier files are kept."""
_begun: list[logging.Logger] = []


class Entry(StrEnum):
    """Everything that the log can say; each takes numbers only."""

    OPENED = "the screen was opened"
    LEFT = "the screen was left"
    BACKED_UP = "a backup was made"
    NOT_WHOLE = "a backup was made without some of its photos or files"
    NOT_BACKED_UP = "no backup could be made"
    DAMAGED = "the desk file is damaged"
    FAILED = "something failed that was not foreseen; a report is kept"
    FAILED_WITHOUT_REPORT = "something failed that was not foreseen; no report could be written"


def begin_log(folder: Path, largest: int = LARGEST) -> None:
    """Writes the log of this program into a folder from now on; where that is not possible there is none."""
    # Loaded here only: most commands write no line.
    import logging
    from logging.handlers import RotatingFileHandler

    class OwnersFile(RotatingFileHandler):
        """A rotated file for its owner only; what stands in its way never reaches the screen."""

        def _open(self) -> Any:
            return open(self.baseFilename, self.mode, encoding="utf-8", opener=for_its_owner)

        def handleError(self, record: logging.LogRecord) -> None:  # noqa: N802 - the library's name
            """Go on without the line: a full disk is said where it matters."""

    end_log()
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        handler = OwnersFile(folder / NAME, maxBytes=largest, backupCount=KEPT)
    except OSError:
        return
    form = logging.Formatter("%(asctime)sZ %(process)d %(message)s", "%Y-%m-%dT%H:%M:%S")
    form.converter = time.gmtime
    handler.setFormatter(form)
    logger = logging.getLogger("breakdesk.log")
    logger.propagate = False
    logger.setLevel(logging.INFO)
    logger.addHandler(handler)
    _begun.append(logger)


def end_log() -> None:
    """Closes the log."""
    for logger in _begun:
        for handler in list(logger.handlers):
            logger.removeHandler(handler)
            handler.close()
    _begun.clear()


def log(entry: Entry, **figures: int) -> None:
    """Writes a line: what happened, and numbers about it. Does nothing before `begin_log`."""
    for logger in _begun:
        said = "".join(f", {name.replace('_', ' ')} {int(number)}" for name, number in figures.items())
        logger.info("%s", f"Breakdesk {breakdesk.__version__}: {entry.value}{said}")
