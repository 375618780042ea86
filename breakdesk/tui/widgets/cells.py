"""Text measured in terminal cells, with everything taken out that could disturb a line.

Text from outside may hold escape sequences, characters that turn the direction of writing, or heaps of marks on one
letter. What is drawn goes through `clean` first; what is cut or padded is measured in cells, because one character
may take none, one or two.
"""

from __future__ import annotations

import unicodedata

from rich.cells import cell_len, set_cell_size

MOST_MARKS = 4
"""How many combining marks one letter keeps; more would climb into the lines above."""

JOINER = "\u200d"


def clean(text: str) -> str:
    """Return the text on one line, without control, direction and other invisible characters."""
    if text.isascii() and text.isprintable():
        return text
    kept: list[str] = []
    marks = 0
    for character in text:
        category = unicodedata.category(character)
        marks = marks + 1 if category in {"Mn", "Me"} else 0
        if category in {"Cc", "Zl", "Zp"}:
            kept.append(" ")
        elif category == "Cs":
            kept.append("?")
        elif marks <= MOST_MARKS and (category != "Cf" or character == JOINER):
            kept.append(character)
    return "".join(kept)


def cut(text: str, width: int) -> str:
    """Return clean text in at most `width` cells; what was cut ends with an ellipsis."""
    text = clean(text)
    if cell_len(text) <= width:
        return text
    if width < 2:
        return "…"[:width]
    return set_cell_size(text, width - 1).rstrip() + "…"


def fit(text: str, width: int, *, right: bool = False) -> str:
    """Return clean text in exactly `width` cells, aligned left or right."""
    text = cut(text, width)
    padding = " " * max(0, width - cell_len(text))
    return padding + text if right else text + padding


def wrap(text: str, width: int) -> list[str]:
    """Return clean text in lines of at most `width` cells, broken between words where that is possible."""
    lines: list[str] = []
    for paragraph in text.splitlines() or [""]:
        line = ""
        for word in clean(paragraph).split(" "):
            candidate = f"{line} {word}" if line else word
            while cell_len(candidate) > width:
                if line:
                    lines.append(line)
                    candidate = word
                else:
                    head = set_cell_size(candidate, max(1, width)).rstrip()
                    head = head if head and candidate.startswith(head) else candidate[:1]
                    lines.append(head)
                    candidate = candidate[len(head) :]
                line = ""
            line = candidate
        lines.append(line)
    return lines
