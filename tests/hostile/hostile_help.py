"""Hostile text, and what must hold of every answer to it."""

from __future__ import annotations

import io
import os
import sys
import time
import unicodedata
from pathlib import Path
from typing import Any

from hypothesis import strategies as st

from breakdesk.cli.running import run

SAMPLE = Path(__file__).resolve().parents[2] / "sample_breaks"
SECONDS = 1.0
"""How much processor time one command may take, whatever it was given; other programs may be busy meanwhile."""
LONGER = int(os.environ.get("BREAKDESK_LONGER", "1"))
"""How many times as many inputs as usual are tried."""
UNFORESEEN = "did not foresee"


class Attack:
    """Types commands on one desk; every answer is checked."""

    def __init__(self, path: Path, capture: Any) -> None:
        self.path = path
        self._capture = capture

    def type(self, *arguments: str, typed: str = "", seconds: float = SECONDS) -> tuple[int, str]:
        """Runs a command; returns its exit code and all that it printed."""
        self._capture.readouterr()
        kept, sys.stdin = sys.stdin, io.StringIO(typed)
        start = time.process_time()
        try:
            code = run(["--desk", str(self.path), *arguments])
        finally:
            sys.stdin = kept
        took = time.process_time() - start
        said = self._capture.readouterr()
        assert code in (0, 1, 2), arguments
        assert UNFORESEEN not in said.err, (arguments, said.err)
        assert "Traceback" not in said.err
        assert took < seconds, (arguments, took)
        assert_harmless(said.out)
        assert_harmless(said.err)
        return code, said.out + said.err


def assert_harmless(text: str) -> None:
    """No character in it acts on a terminal: no control characters but line ends and tabs, nothing that turns text."""
    acting = {
        character
        for character in text
        if (unicodedata.category(character) in ("Cc", "Cs") and character not in "\n\t")
        or character in "\u2028\u2029\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
    }
    assert not acting, (acting, text[:300])


def files_in(folder: Path) -> set[str]:
    """The names of all files and folders below one."""
    return {str(path.relative_to(folder)) for path in folder.rglob("*")}


NASTY = (
    "\x1b[31mred\x1b[0m \x1b]52;c;QUJD\x07 \x9b2J \x90q\x9c",
    "[bold red]markup[/] [link=x]y[/link] {{ 7 * 7 }} {% for x in y %}",
    '=HYPERLINK("x") +1 -1 @x \'=1',
    "../../../etc/passwd",
    "C:\\..\\..\\nul",
    "a\r\nBcc: x@example.org\r\n\r\nb",
    "\u202egnp.drac\u202c \u2066x\u2069 \u2028 \u2029 \ufeff\x7f\x85",
    "\ud800 \udfff \ufffe \U000e0041",
    "'; DROP TABLE claim; --",
    "%s %n {0} {0.__class__} $(id) `id` ${IFS}",
    "9" * 400,
    "é" * 300 + "\u0301" * 300,
    "-" * 200,
    "x" * 5000,
    "ｆｕｌｌ ﬁ ① \u200b\u200d\u00ad",
)
HOSTILE = st.one_of(
    st.sampled_from(NASTY),
    st.text(max_size=40),
    st.text(st.sampled_from("\x1b[]()0;:m\x07\x9b\x90\\\"'`$%{}<>&|=+-@#/.,\t\r\n 0a"), max_size=40),
    st.lists(st.sampled_from(NASTY), max_size=3).map(" ".join),
)
