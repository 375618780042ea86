"""Sheets of paper as PDF: their sizes, and lines drawn by as many fonts as their letters need."""

from __future__ import annotations

import os
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path
from typing import Any, Final

from breakdesk.files.fonts import can_shape, choose_fonts, covered_by

MILLIMETRES_IN_A_POINT: Final = 25.4 / 72
PLAIN_FAMILY: Final = "helvetica"
"""One of the fonts that every reader of PDF has."""
UNDRAWN: Final = "?"
"""Stands where no font draws a character."""
BASELINE: Final = 0.3
"""The library writes a cell's letters on a line this share of their size below the middle of the cell."""


@dataclass(frozen=True, slots=True)
class PaperSize:
    """A sheet in millimetres, upright."""

    name: str
    width: float
    height: float


A4: Final = PaperSize("A4", 210.0, 297.0)
"""ISO 216."""
LETTER: Final = PaperSize("letter", 215.9, 279.4)
"""8.5 by 11 inches: ANSI/ASME Y14.1, size A, from memory."""
SIZES: Final = {size.name.lower(): size for size in (A4, LETTER)}
_LETTER_COUNTRIES: Final = frozenset({"US", "CA", "MX", "PH", "CL", "CO", "VE"})


def paper_for(country: str) -> PaperSize:
    """The sheet that a country commonly uses; common practice, no source."""
    return LETTER if country.upper() in _LETTER_COUNTRIES else A4


def is_plain(text: str) -> bool:
    """Whether the fonts that every reader of PDF has can show a text."""
    try:
        text.encode("latin-1")
    except UnicodeEncodeError:
        return False
    return True


class Sheet:
    """A document drawn in millimetres from the upper left corner; `missing` are the characters that no font draws."""

    def __init__(self, size: PaperSize, texts: Iterable[str], fonts: Sequence[Path] = ()) -> None:
        """`texts` are all that will be written, so that fonts are found once; `fonts` come before the machine's own."""
        from fpdf import FPDF

        self.size = size
        self.pdf: Any = FPDF(unit="mm", format=(size.width, size.height))
        self.pdf.set_auto_page_break(False)
        self.pdf.set_margin(0)
        self.pdf.c_margin = 0
        written = [unicodedata.normalize("NFC", text) for text in texts]
        chosen = choose_fonts({character for text in written if not is_plain(text) for character in text}, fonts)
        self._fonts = chosen.fonts
        by_plain = frozenset() if chosen.fonts else frozenset(filter(is_plain, chosen.missing))
        self.missing = chosen.missing - by_plain
        for number, path in enumerate(chosen.fonts):
            self.pdf.add_font(f"f{number}", "", path)
        if chosen.fonts and can_shape():
            self.pdf.set_text_shaping(True)

    def undrawn_in(self, lines: Iterable[str]) -> str:
        """The characters of some lines that no font here draws, each once."""
        return "".join(sorted(self.missing & set(unicodedata.normalize("NFC", "".join(lines)))))

    def page(self) -> None:
        """Begins a new page."""
        self.pdf.add_page()

    def width_of(self, text: str, points: float) -> float:
        """How wide a line would be, in millimetres."""
        return sum(self._measured(family, part, points) for family, part in self._parts_of(text))

    def text(self, x: float, y: float, text: str, points: float) -> None:
        """Writes a line whose letters stand on `y`."""
        for family, part in self._parts_of(text):
            width = self._measured(family, part, points)
            self.pdf.set_xy(x, y - BASELINE * self.pdf.font_size)
            self.pdf.cell(w=width, h=0, text=part)
            x += width

    def _measured(self, family: str, part: str, points: float) -> float:
        self.pdf.set_font(family, size=points)
        return float(self.pdf.get_string_width(part))

    def _parts_of(self, text: str) -> Iterator[tuple[str, str]]:
        """A line cut where another font has to draw it; a blank or a sign stays with what stands before it."""
        text = unicodedata.normalize("NFC", text)
        if not self._fonts:
            text = "".join(UNDRAWN if character in self.missing else character for character in text)
            yield PLAIN_FAMILY, text.encode("latin-1", "replace").decode("latin-1")
            return
        place = 0
        pieces: list[tuple[int, str]] = []
        for character in text:
            letter = UNDRAWN if character in self.missing else character
            able = [number for number, path in enumerate(self._fonts) if letter in covered_by(path)]
            if place not in able or letter.isalpha():
                place = able[0] if able else place
            # What no font has by now draws nothing by itself: a joiner, a sign of another shape.
            pieces += [(place, letter)] if able else []
        for number, group in groupby(pieces, key=lambda piece: piece[0]):
            yield f"f{number}", "".join(letter for _, letter in group)

    def wrapped(self, x: float, y: float, width: float, text: str, points: float) -> float:
        """Writes a text in lines no wider than `width`, from `y` down; returns where the next line would stand."""
        step = points * MILLIMETRES_IN_A_POINT * 1.3
        for line in self.lines_of(text, width, points):
            self.text(x, y, line, points)
            y += step
        return y

    def lines_of(self, text: str, width: float, points: float) -> list[str]:
        """A text cut at its blanks into lines that fit; a word that is too long is cut where it must be."""
        found = []
        for paragraph in text.split("\n"):
            line = ""
            for word in paragraph.split():
                for part in self._fitting(word, width, points):
                    longer = f"{line} {part}".strip()
                    if line and self.width_of(longer, points) > width:
                        found.append(line)
                        longer = part
                    line = longer
            found.append(line)
        return found

    def _fitting(self, word: str, width: float, points: float) -> Iterator[str]:
        while self.width_of(word, points) > width and len(word) > 1:
            cut = len(word) - 1
            while cut > 1 and self.width_of(word[:cut], points) > width:
                cut -= 1
            yield word[:cut]
            word = word[cut:]
        yield word

    def box(self, x: float, y: float, width: float, height: float) -> None:
        """Fills a rectangle with black."""
        self.pdf.set_fill_color(0, 0, 0)
        self.pdf.rect(x, y, width, height, style="F")

    def line(self, x: float, y: float, width: float) -> None:
        """Draws a thin level line."""
        self.pdf.set_line_width(0.2)
        self.pdf.line(x, y, x + width, y)

    def save(self, path: Path) -> None:
        """Writes the file, readable by its owner only. Raises OSError where it cannot be written."""
        try:
            content = bytes(self.pdf.output())
        finally:
            # The library leaves the files of its fonts open.
            for font in self.pdf.fonts.values():
                if hasattr(font, "ttfont"):
                    font.ttfont.close()
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_TRUNC | getattr(os, "O_BINARY", 0), 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(content)
