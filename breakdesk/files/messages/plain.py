"""Text from outside made harmless: what is left can be read, and nothing in it acts."""

from __future__ import annotations

import re

_BREAKS = re.compile("[\n\r\t\v\f\x1c-\x1f\x85\u2028\u2029]")
# Control characters and lone surrogates, signs of text direction, what cannot be seen, tags, and code points that are
# unassigned for good (Unicode 15.1, sections 23.2, 23.3, 23.7 and 23.9).
_HARMFUL = re.compile(
    "[\x00-\x1f\x7f-\x9f\ud800-\udfff"
    "\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069"
    "\ufeff\u2060-\u2064\u180e\u200b\u00ad\ufff9-\ufffb"
    "\U000e0000-\U000e007f\ufdd0-\ufdef"
    + "".join(f"{chr(plane + 0xFFFE)}{chr(plane + 0xFFFF)}" for plane in range(0, 0x110000, 0x10000))
    + "]"
)


def is_harmful(text: str) -> bool:
    """Whether control, escape, text-direction, invisible, tag, surrogate or never assigned characters stand in it."""
    return _HARMFUL.search(text) is not None


def plain_line(text: str) -> str:
    """One line of data: line ends and tabs become blanks, harmful characters go, runs of blanks become one."""
    if not text:
        return ""
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    return " ".join(_without_harm(text).split())


def plain_text(text: str) -> str:
    """A finished text: lines end in LF, harmful characters go, never two empty lines in a row."""
    lines: list[str] = []
    for line in text.replace("\r\n", "\n").replace("\r", "\n").split("\n"):
        kept = line if line.isascii() and line.isprintable() else _without_harm(line)
        kept = kept.rstrip()
        if kept or (lines and lines[-1]):
            lines.append(kept)
    return "\n".join(lines).strip()


def _without_harm(line: str) -> str:
    return _HARMFUL.sub("", _BREAKS.sub(" ", line))
