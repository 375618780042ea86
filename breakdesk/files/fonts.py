"""Fonts for paper: the house's own, the open ones that come as a package, and those of this machine."""

from __future__ import annotations

import os
import sys
import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.util import find_spec
from pathlib import Path
from typing import Final

FONTS_LOOKED_AT: Final = 400
FAMILIES_FIRST: Final = ("noto", "liberation", "arial", "segoe", "helvetica", "free", "dejavu")
"""Families that cover many letters come first; names of fonts, from memory."""
COLLECTION: Final = ".ttc"
"""Several fonts in one file, as systems keep those for Chinese, Japanese and Korean; the first of them is used."""
PACKAGE: Final = "weblate_fonts"
"""Open fonts for nearly all scripts (SIL Open Font License 1.1); comes with the extra `fonts`."""
SHAPER: Final = "uharfbuzz"
"""Joins and orders letters, as Arabic and Devanagari need it; comes with the extra `fonts`."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """The fonts that draw a document, the main one first, and the characters that none of them draws."""

    fonts: tuple[Path, ...]
    missing: frozenset[str]


def choose_fonts(needed: Iterable[str], own: Sequence[Path] = ()) -> Chosen:
    """As few fonts as draw these characters; `own` come before the packaged ones, and those before the machine's."""
    left = {character for character in needed if not _draws_nothing(character)}
    chosen: list[Path] = []
    for path in (*own, *_fitting_first(packaged_fonts(), left), *machine_fonts()):
        if not left:
            break
        drawn = left & covered_by(path)
        # The first one has to draw ordinary letters, too: it becomes the font of the whole document.
        if drawn and (chosen or set("Aa0") <= covered_by(path)):
            chosen.append(path)
            left -= drawn
    return Chosen(tuple(chosen), frozenset(left))


def _draws_nothing(character: str) -> bool:
    """Whether a character only tells how others are drawn, as a joiner or a variation selector does."""
    return character.isspace() or unicodedata.category(character) == "Cf" or "\ufe00" <= character <= "\ufe0f"


def _fitting_first(paths: Sequence[Path], needed: set[str]) -> list[Path]:
    """The one that draws most of what is needed first: a name in Japanese gets its own shapes of shared signs."""
    return sorted(paths, key=lambda path: -len(needed & covered_by(path))) if needed else []


def can_shape() -> bool:
    """Whether letters that join or change their order can be drawn as they should be."""
    return find_spec(SHAPER) is not None


def font_files(folder: Path) -> list[Path]:
    """The fonts in a folder and the folders in it, by name."""
    if not folder.is_dir():
        return []
    return sorted(path for path in folder.rglob("*") if path.suffix.lower() in (".ttf", ".otf", COLLECTION))


@lru_cache(maxsize=1)
def packaged_fonts() -> tuple[Path, ...]:
    """The open fonts that were installed as a package, without those of equal width."""
    found = find_spec(PACKAGE)
    folders = [] if found is None else list(found.submodule_search_locations or ())
    paths = [path for folder in folders for path in font_files(Path(folder))]
    plain = [path for path in paths if path.stem.endswith(("-Regular", "-Rg")) and "Code" not in path.stem]
    return tuple(sorted(plain, key=lambda path: (path.stat().st_size, path.name)))


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
        with TTFont(path, lazy=True, fontNumber=0 if path.suffix.lower() == COLLECTION else -1) as font:
            return frozenset(map(chr, font.getBestCmap() or {}))
    except (TTLibError, OSError, KeyError, ValueError, AssertionError):
        return frozenset()
