"""A short run of the kills: nothing acknowledged is lost and nothing is half done. `tests/bench/kills.py` does more."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).resolve().parents[1] / "bench" / "kills.py"


@pytest.mark.skipif(sys.platform == "win32", reason="kills by signal, at a pseudo-terminal")
def test_killed_at_any_moment_the_desk_is_whole() -> None:
    done = subprocess.run([sys.executable, str(SCRIPT), "--kills", "15"], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "FAULT" not in done.stdout
    acknowledged = re.search(r"(\d+) acknowledged actions all there, (\d+) of them on the screen", done.stdout)
    assert acknowledged is not None, done.stdout
    assert int(acknowledged[1]) >= 10
    assert int(acknowledged[2]) >= 1
