"""Text from outside made harmless: what is left can be read, and nothing in it acts."""

from __future__ import annotations

import unicodedata

_BIDIRECTIONAL = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_BREAKS = frozenset("\n\r\t\v\f\x1c\x1d\x1e\x1f\x85\u2028\u2029")
_INVISIBLE = frozenset("\ufeff\u2060\u2061\u2062\u2063\u2064\u180e\u200b\u00ad\ufff9\ufffa\ufffb")


def is_harmful(character: str) -> bool:
    """Control, escape, text-direction, invisible, tag, surrogate and unassigned-for-good characters."""
    code = ord(character)
    return (
        character in _BIDIRECTIONAL
        or character in _INVISIBLE
        or 0xE0000 <= code <= 0xE007F
        or code & 0xFFFE == 0xFFFE
        or 0xFDD0 <= code <= 0xFDEF
        or unicodedata.category(character) in ("Cc", "Cs")
    )


def plain_line(text: str) -> str:
    """One line of data: line ends and tabs become blanks, harmful characters go, runs of blanks become one."""
    if text.isascii() and text.isprintable():
        return " ".join(text.split())
    spaced = "".join(" " if c in _BREAKS else c for c in text)
    return " ".join("".join(c for c in spaced if not is_harmful(c)).split())


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
    return "".join(c for c in ("".join(" " if c in _BREAKS else c for c in line)) if not is_harmful(c))
