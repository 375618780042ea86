"""Short runs of kills and power cuts: nothing acknowledged is lost, nothing is half done. tests/bench does more."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

BENCH = Path(__file__).resolve().parents[1] / "bench"


@pytest.mark.skipif(sys.platform == "win32", reason="kills by signal, at a pseudo-terminal")
def test_killed_at_any_moment_the_desk_is_whole() -> None:
    done = subprocess.run(
        [sys.executable, str(BENCH / "kills.py"), "--kills", "15"], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stdout + done.stderr
    assert "FAULT" not in done.stdout
    acknowledged = re.search(r"(\d+) acknowledged actions all there, (\d+) of them on the screen", done.stdout)
    assert acknowledged is not None, done.stdout
    assert int(acknowledged[1]) >= 10
    assert int(acknowledged[2]) >= 1


@pytest.mark.skipif(shutil.which("strace") is None, reason="writes are traced with strace")
def test_whatever_the_disk_held_when_the_power_went_the_desk_is_whole() -> None:
    command = [sys.executable, str(BENCH / "power_cuts.py"), "--cuts", "12", "--actions", "15"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    if "ptrace" in done.stderr:
        pytest.skip("this account may not trace a program")
    assert done.returncode == 0, done.stdout + done.stderr
    assert "15 actions; " in done.stdout
    assert "0 actions acknowledged before" in done.stdout
    assert "12 cuts" in done.stdout
