"""Paths as a person types or pastes them: several in a line, quoted or not, `~` for home, a folder for its tables."""

from __future__ import annotations

import os
import shlex
from collections.abc import Iterable
from pathlib import Path
from typing import Final

TABLE_ENDINGS: Final = frozenset((".csv", ".tsv", ".txt", ".xlsx"))
"""How the names of files end that may hold a table."""
MOST_IN_A_FOLDER: Final = 500


def typed_paths(text: str, *, backslash_quotes: bool = os.sep == "/") -> list[Path]:
    """Read the paths in a line, in their order, each once.

    A line that is one existing path is that path, blanks and all. `backslash_quotes` tells whether a backslash stands
    before a character that is meant as it is, as terminals write a dropped file, or parts folders, as on Windows.
    Raises ValueError with a sentence where a quotation mark is left open.
    """
    written = text.strip()
    if not written:
        return []
    whole = _home(written)
    if _exists(whole):
        return [whole]
    splitter = shlex.shlex(written, posix=True)
    splitter.whitespace_split = True
    splitter.commenters = ""
    if not backslash_quotes:
        splitter.escape = ""
    try:
        parts = list(splitter)
    except ValueError:
        raise ValueError("A quotation mark is left open; close it, or leave it out.") from None
    return list(dict.fromkeys(_home(part) for part in parts if part))


def typed_path(text: str) -> Path:
    """Read one path, which need not exist yet, as it was typed or dropped onto the terminal."""
    return _home(text.strip("'\" "))


def with_folders_opened(paths: Iterable[Path]) -> list[Path]:
    """Put the tables of a folder, by name, in its place; other paths stay, whether or not there is such a file.

    Raises ValueError with a sentence for a folder without tables or one that cannot be read.
    """
    found: list[Path] = []
    for path in paths:
        found += _tables_in(path) if path.is_dir() else [path]
    return list(dict.fromkeys(found))


def _tables_in(folder: Path) -> list[Path]:
    try:
        files = sorted(path for path in folder.iterdir() if _is_table(path))
    except OSError as error:
        raise ValueError(f"{folder} cannot be read: {error.strerror}.") from None
    if not files:
        raise ValueError(f"{folder} holds no table (CSV or XLSX).")
    if len(files) > MOST_IN_A_FOLDER:
        raise ValueError(f"{folder} holds {len(files):,} tables; name the ones that you mean.")
    return files


def _is_table(path: Path) -> bool:
    # Spreadsheet programs leave lock files beside an open workbook.
    hidden = path.name.startswith((".", "~$"))
    return not hidden and path.suffix.casefold() in TABLE_ENDINGS and path.is_file()


def _home(text: str) -> Path:
    try:
        return Path(text).expanduser()
    except RuntimeError:
        return Path(text)


def _exists(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False
