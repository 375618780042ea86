"""A terminal that is gone ends the program, also where nobody sends it the signal for that."""

from __future__ import annotations

import os
import select
import signal
import sys
from threading import Thread


def end_with_terminal() -> None:
    """From now on end the program when the terminal closes.

    A shell or a window sends the signal for it; some that run programs without a shell do not, and such a program would
    wait for keys for ever. Everything that was acknowledged is in the desk file by then.
    """
    if hasattr(signal, "SIGHUP") and hasattr(select, "poll"):
        Thread(target=_wait, name="terminal", daemon=True).start()


def _wait() -> None:
    terminal = select.poll()
    # No event is asked for: an end of the line is told all the same, and nothing else wakes this thread.
    terminal.register(sys.__stdin__.fileno() if sys.__stdin__ else 0, 0)
    if any(what & select.POLLHUP for _, what in terminal.poll()):
        os.kill(os.getpid(), signal.SIGHUP)
