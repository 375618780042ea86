"""What is printed: plain text and aligned tables that are safe for a terminal and for a pipe."""

from __future__ import annotations

import json
import sys
import unicodedata
from collections.abc import Iterable, Sequence
from operator import add
from typing import Any

import click

from breakdesk.files.messages.plain import plain_line
from breakdesk.files.plain_text import harmless, harmless_json

GAP = "  "


def prepare_streams() -> None:
    """Lets no character stop the output: what the stream cannot write is spelled out."""
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="backslashreplace")


def say(text: str = "") -> None:
    """Prints text, which may have several lines; control characters in it are spelled out."""
    click.echo(_printable(text))


def say_problem(sentence: str) -> None:
    """Prints one sentence to the error stream, where it does not mix with data."""
    click.echo(_printable(sentence), err=True)


def _printable(text: str) -> str:
    # A carriage return alone would let what follows stand over what was printed before it.
    return harmless(text.replace("\r\n", "\n")).replace("\r", "\\x0d")


def say_json(value: Any) -> None:
    """Prints a value as JSON."""
    may_be_unicode = (getattr(sys.stdout, "encoding", "") or "").lower().replace("-", "") == "utf8"
    text = json.dumps(value, ensure_ascii=not may_be_unicode, indent=2)
    click.echo(harmless_json(text))


def say_table(headings: Sequence[str], rows: Iterable[Sequence[str]], *, right: Iterable[int] = ()) -> None:
    """Prints a table with aligned columns; `right` names the columns that hold numbers."""
    lines = table_lines(headings, rows, right=right)
    if lines:
        # Once for the whole table: a large one has tens of thousands of lines.
        click.echo("\n".join(lines))


def table_lines(headings: Sequence[str], rows: Iterable[Sequence[str]], *, right: Iterable[int] = ()) -> list[str]:
    """The lines of a table, its cells made harmless and measured as a terminal shows them.

    Where all headings are empty there is no line of them.
    """
    head = [list(headings)] if any(headings) else []
    numbers = frozenset(right)
    columns = (
        _column(_plain(column), to_the_right=position in numbers)
        for position, column in enumerate(zip(*head, *rows, strict=True))
    )
    return [GAP.join(row).rstrip() for row in zip(*columns, strict=True)]


def say_fields(fields: Iterable[tuple[str, str]]) -> None:
    """Prints labels and values under each other; what is empty is left out."""
    shown = [(label, plain_line(value)) for label, value in fields if value]
    width = max((len(label) for label, _ in shown), default=0)
    for label, value in shown:
        click.echo(f"{label.ljust(width)}{GAP}{value}")


def _plain(cells: Sequence[str]) -> list[str]:
    """Cells made harmless; nearly every column is so as a whole, which is seen at once."""
    together = "|".join(cells)
    if together.isascii() and together.isprintable() and "  " not in together:
        return list(map(str.strip, cells))
    return list(map(plain_line, cells))


def _column(cells: Sequence[str], *, to_the_right: bool) -> list[str]:
    """Cells made equally wide."""
    widths = list(map(_width, cells))
    widest = max(widths)
    spaces = [" " * (widest - width) for width in widths]
    return list(map(add, spaces, cells) if to_the_right else map(add, cells, spaces))


def _width(text: str) -> int:
    if text.isascii():
        return len(text)
    return sum(_cells(character) for character in text)


def _cells(character: str) -> int:
    if unicodedata.combining(character) or unicodedata.category(character) == "Mn":
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1
