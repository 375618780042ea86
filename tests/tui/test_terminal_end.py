"""A program whose terminal is gone ends, also where it gets no signal for it."""

from __future__ import annotations

import os
import signal
import subprocess
import sys

import pytest

if sys.platform != "linux":
    pytest.skip("other systems do not tell the end of a terminal that controls nothing", allow_module_level=True)

PROGRAM = """
import time
from breakdesk.tui.terminal_end import end_with_terminal
end_with_terminal()
print("ready", flush=True)
time.sleep(60)
"""


def test_it_ends_with_its_terminal() -> None:
    seen, theirs = os.openpty()
    # A session of its own without a controlling terminal: nobody sends the signal when it closes.
    program = subprocess.Popen(
        [sys.executable, "-c", PROGRAM], stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True
    )
    os.close(theirs)
    assert os.read(seen, 100).strip() == b"ready"
    os.close(seen)
    assert program.wait(timeout=20) == -signal.SIGHUP
