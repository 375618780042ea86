"""What happens when the program itself is wrong: a plain sentence, a report, and the desk goes on.

A report names the kind of each error and our own lines of code that led to it. It holds no message and no value,
because either may hold a code, a name or an address.
"""

from __future__ import annotations

import platform
import traceback
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast

from textual.message import Message
from textual.message_pump import MessagePump
from textual.worker import Worker, WorkerFailed, WorkerState

import breakdesk

if TYPE_CHECKING:
    from breakdesk.tui.base import DeskApp

_HOME = Path(breakdesk.__file__).parent


def _causes(error: BaseException) -> Iterator[BaseException]:
    """Give the error and what caused it, first cause last."""
    current: BaseException | None = error
    seen: set[int] = set()
    while current is not None and id(current) not in seen:
        seen.add(id(current))
        yield current
        current = current.error if isinstance(current, WorkerFailed) else current.__cause__ or current.__context__


def failing_line(error: BaseException) -> tuple[str, int]:
    """Return file and line where an error was raised."""
    frames = traceback.extract_tb(error.__traceback__)
    return (frames[-1].filename, frames[-1].lineno or 0) if frames else ("", 0)


def report_text(error: BaseException, now: datetime) -> str:
    """Return the report of one failure: kinds of error and our own lines, never a value."""
    from importlib.metadata import version

    lines = [
        f"Breakdesk {breakdesk.__version__}, {now:%Y-%m-%d %H:%M:%S %z}".rstrip(),
        f"Python {platform.python_version()}, Textual {version('textual')}, {platform.system()} {platform.release()}",
    ]
    for cause in _causes(error):
        lines += ["", type(cause).__qualname__]
        for frame in traceback.extract_tb(cause.__traceback__):
            path = Path(frame.filename)
            if path.is_relative_to(_HOME):
                lines.append(f"  {path.relative_to(_HOME).as_posix()} line {frame.lineno}, {frame.name}")
    return "\n".join(lines) + "\n"


def write_report(folder: Path | None, error: BaseException, now: datetime) -> Path | None:
    """Write the report of a failure into a folder; return its path, or None where that was not possible."""
    if folder is None:
        return None
    path = folder / f"failure-{now:%Y%m%d-%H%M%S-%f}.txt"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        path.write_text(report_text(error, now), encoding="utf-8")
    except OSError:
        return None
    return path


class Steady(MessagePump):
    """A mixin for app, screens, dialogs and widgets: a failing handler is shown and the next message is taken.

    Textual stops taking messages after an error in a handler; a desk in use on camera must go on.
    """

    async def _dispatch_message(self, message: Message) -> None:
        try:
            await super()._dispatch_message(message)
        except Exception as error:
            self._mounted_event.set()
            self._is_mounted = True
            cast("DeskApp", self.app).handle_failure(error)

    def on_worker_state_changed(self, event: Worker.StateChanged) -> None:
        """Show what a worker failed on that was told to keep quiet; others reach the same place by themselves."""
        if event.state is WorkerState.ERROR and not event.worker.exit_on_error and event.worker.error is not None:
            cast("DeskApp", self.app).show_failure(event.worker.error)
