"""A folder that is gone afterwards, whatever ends the program."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from breakdesk.desk.throwaway import throwaway_folder

HOLD = """
import sys, threading, time
from breakdesk.desk.throwaway import throwaway_folder
with throwaway_folder() as folder:
    (folder / "sample.db").write_text("cards")
    threading.Thread(target=time.sleep, args=(60,)).start()
    print(folder, flush=True)
    time.sleep(30)
"""


def test_it_is_gone_afterwards_and_signals_are_as_before():
    before = signal.getsignal(signal.SIGTERM)
    with throwaway_folder() as folder:
        (folder / "sample.db").write_text("cards")
    assert not folder.exists()
    assert signal.getsignal(signal.SIGTERM) is before


@pytest.mark.skipif(os.name == "nt", reason="these signals end programs elsewhere")
@pytest.mark.parametrize("name", ["SIGTERM", "SIGHUP"])
def test_it_is_gone_where_the_program_is_told_to_end(name):
    with subprocess.Popen([sys.executable, "-c", HOLD], stdout=subprocess.PIPE, text=True) as program:
        assert program.stdout is not None
        folder = Path(program.stdout.readline().strip())
        assert folder.is_dir()
        number = getattr(signal, name)
        program.send_signal(number)
        assert program.wait(timeout=20) == 128 + number
    assert not folder.exists()
