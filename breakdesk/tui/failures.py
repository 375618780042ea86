"""What happens on the screen when the program itself is wrong: a plain sentence, a report, and the desk goes on."""

from __future__ import annotations

import traceback
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING, cast

from textual.message import Message
from textual.message_pump import MessagePump
from textual.worker import Worker, WorkerFailed, WorkerState

from breakdesk.desk import failures
from breakdesk.desk.log import Entry, log

if TYPE_CHECKING:
    from breakdesk.tui.base import DeskApp


def _cause(error: BaseException) -> BaseException | None:
    """What an error was caused by; a failed worker's is what it failed on."""
    return error.error if isinstance(error, WorkerFailed) else failures.caused_by(error)


def failing_line(error: BaseException) -> tuple[str, int]:
    """Return file and line where an error was raised."""
    frames = traceback.extract_tb(error.__traceback__)
    return (frames[-1].filename, frames[-1].lineno or 0) if frames else ("", 0)


def write_report(folder: Path | None, error: BaseException, now: datetime) -> Path | None:
    """Write the report of a failure into a folder; return its path, or None where that was not possible."""
    path = failures.write_report(folder, error, now, _cause)
    log(Entry.FAILED if path else Entry.FAILED_WITHOUT_REPORT)
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
