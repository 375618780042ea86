"""Sheets of paper as PDF: their sizes, and fonts for names in as many scripts as this machine has letters for."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, Final

MILLIMETRES_IN_A_POINT: Final = 25.4 / 72
FONTS_LOOKED_AT: Final = 400
FAMILIES_FIRST: Final = ("noto", "liberation", "arial", "segoe", "helvetica", "free", "dejavu")
"""Families that cover many letters come first; names of fonts, from memory."""


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
        self.missing: frozenset[str] = frozenset()
        self._family = "helvetica"
        needed = {character for text in texts if not is_plain(text) for character in text if not character.isspace()}
        if needed:
            self._take_fonts(needed, fonts)

    def _take_fonts(self, needed: set[str], fonts: Sequence[Path]) -> None:
        chosen: list[Path] = []
        for path in (*fonts, *machine_fonts()):
            drawn = needed & covered_by(path)
            # The first one has to draw ordinary letters, too: it becomes the font of the whole document.
            if drawn and (chosen or set("Aa0") <= covered_by(path)):
                chosen.append(path)
                needed = needed - drawn
            if not needed:
                break
        for number, path in enumerate(chosen):
            self.pdf.add_font(f"f{number}", "", path)
        if chosen:
            self._family = "f0"
            self.pdf.set_fallback_fonts([f"f{number}" for number in range(1, len(chosen))])
        self.missing = frozenset(needed)

    def page(self) -> None:
        """Begins a new page."""
        self.pdf.add_page()

    def width_of(self, text: str, points: float) -> float:
        """How wide a line would be, in millimetres."""
        self.pdf.set_font(self._family, size=points)
        return float(self.pdf.get_string_width(self._drawable(text)))

    def text(self, x: float, y: float, text: str, points: float) -> None:
        """Writes a line whose letters stand on `y`."""
        self.pdf.set_font(self._family, size=points)
        self.pdf.text(x, y, self._drawable(text))

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

    def _drawable(self, text: str) -> str:
        if self.missing:
            text = "".join("?" if character in self.missing else character for character in text)
        return text if self._family != "helvetica" else text.encode("latin-1", "replace").decode("latin-1")

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


def font_files(folder: Path) -> list[Path]:
    """The fonts in a folder and the folders in it, by name."""
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.rglob("*") if path.suffix.lower() in (".ttf", ".otf"))


@lru_cache(maxsize=1)
def machine_fonts() -> tuple[Path, ...]:
    """Fonts installed on this machine, families that cover many letters first."""
    home = Path.home()
    folders = {
        "win32": [Path(os.environ.get("WINDIR", "C:/Windows")) / "Fonts"],
        "darwin": [Path("/System/Library/Fonts"), Path("/Library/Fonts"), home / "Library" / "Fonts"],
    }.get(sys.platform, [Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), home / ".local/share/fonts"])
    found = [path for folder in folders for path in font_files(folder)]
    upright = [path for path in found if not any(word in path.stem.lower() for word in ("bold", "italic", "oblique"))]
    return tuple(sorted(upright, key=_rank)[:FONTS_LOOKED_AT])


def _rank(path: Path) -> tuple[int, bool, int, str]:
    name = path.stem.lower()
    family = next((place for place, word in enumerate(FAMILIES_FIRST) if name.startswith(word)), len(FAMILIES_FIRST))
    return family, "mono" in name, len(name), name


@lru_cache(maxsize=FONTS_LOOKED_AT)
def covered_by(path: Path) -> frozenset[str]:
    """The characters that a font draws; none for a file that is no font."""
    from fontTools.ttLib import TTFont, TTLibError

    try:
        with TTFont(path, lazy=True) as font:
            return frozenset(map(chr, font.getBestCmap() or {}))
    except (TTLibError, OSError, KeyError, ValueError, AssertionError):
        return frozenset()
