"""Which of our columns each column of somebody's spreadsheet is, kept under a name as a JSON file."""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from pathlib import Path
from typing import Final

from breakdesk.files.headers import Header, Kind, columns_of, folded_heading, read_header_as
from breakdesk.store.kept_files import write_durably

LONGEST_NAME: Final = 40
MOST_BYTES: Final = 200_000
_NAME = re.compile(r"[^\W_][\w .-]*")
_NOT_ONE = "This is no match of columns."


class DateOrder(StrEnum):
    """How a date in figures that has two readings, such as 3/4/2026, is meant."""

    ASK = "ask"
    MONTH_FIRST = "month_first"
    DAY_FIRST = "day_first"


@dataclass(frozen=True, slots=True, kw_only=True)
class ColumnMap:
    """A match of columns: by key of a heading our column, or None for a column that is left out on purpose."""

    kind: Kind = Kind.CLAIMS
    columns: Mapping[str, str | None] = field(default_factory=dict)
    dates: DateOrder = DateOrder.ASK


def heading_keys(headings: Sequence[str]) -> tuple[str, ...]:
    """What each column is known by: its heading folded, the second of two alike as `date##2`, an empty one as `##3`."""
    seen: dict[str, int] = {}
    keys = []
    for position, heading in enumerate(headings, start=1):
        folded = folded_heading(heading) or f"##{position}"
        seen[folded] = seen.get(folded, 0) + 1
        keys.append(folded if seen[folded] == 1 else f"{folded}##{seen[folded]}")
    return tuple(keys)


def fits(column_map: ColumnMap, headings: Sequence[str]) -> bool:
    """Whether a row of headings is the one for which the match was made: every matched column stands in it."""
    wanted = {key for key, column in column_map.columns.items() if column is not None}
    return bool(wanted) and wanted <= set(heading_keys(headings))


def mapped_header(column_map: ColumnMap, headings: Sequence[str]) -> Header:
    """A header understood by a match; a column that the match does not know is guessed, where that one is free."""
    keys = heading_keys(headings)
    guessed = read_header_as(column_map.kind, headings).columns
    taken = {column for key, column in column_map.columns.items() if key in keys}
    columns: list[str | None] = []
    unknown: list[str] = []
    for key, heading, guess in zip(keys, headings, guessed, strict=True):
        if key in column_map.columns:
            columns.append(column_map.columns[key])
            continue
        column = guess if guess not in taken else None
        columns.append(column)
        if column is None and heading.strip():
            unknown.append(heading.strip())
    return Header(kind=column_map.kind, columns=tuple(columns), unknown=tuple(unknown), doubled=())


def with_column(column_map: ColumnMap, key: str, column: str | None) -> ColumnMap:
    """The match with another meaning of one column; a meaning that another column had is taken from it."""
    columns = {other: None if meaning == column else meaning for other, meaning in column_map.columns.items()}
    return ColumnMap(kind=column_map.kind, columns={**columns, key: column}, dates=column_map.dates)


def as_text(column_map: ColumnMap) -> str:
    """The match as it stands in its file."""
    said = {"kind": column_map.kind.value, "dates": column_map.dates.value, "columns": dict(column_map.columns)}
    return json.dumps(said, ensure_ascii=False, indent=2) + "\n"


def from_text(text: str) -> ColumnMap:
    """Read a match. Raises ValueError with a sentence for what it cannot mean."""
    try:
        said = json.loads(text)
    except (ValueError, RecursionError):
        raise ValueError("This is not JSON.") from None
    columns = said.get("columns") if isinstance(said, dict) else None
    if not isinstance(columns, dict) or not set(said) <= {"kind", "dates", "columns"}:
        raise ValueError(f"{_NOT_ONE} It holds kind, dates and columns.")
    if said.get("kind", "claims") not in list(Kind):
        raise ValueError(f"{_NOT_ONE} Its kind is one of {', '.join(Kind)}.")
    if said.get("dates", "ask") not in list(DateOrder):
        raise ValueError(f"{_NOT_ONE} Its dates are one of {', '.join(DateOrder)}.")
    kind = Kind(said.get("kind", "claims"))
    return ColumnMap(kind=kind, columns=_columns(kind, columns), dates=DateOrder(said.get("dates", "ask")))


def _columns(kind: Kind, said: Mapping[str, object]) -> dict[str, str | None]:
    known = columns_of(kind)
    found: dict[str, str | None] = {}
    for heading, column in said.items():
        if column is not None and column not in known:
            raise ValueError(f"{_NOT_ONE} The columns of {kind.value} are {', '.join(known)}; null leaves one out.")
        if column is not None and column in found.values():
            raise ValueError(f"{_NOT_ONE} Two columns both are {column}.")
        # Somebody who writes the file by hand writes headings as they stand in the spreadsheet.
        words, mark, number = heading.partition("##")
        found[f"{folded_heading(words)}{mark}{number}"] = None if column is None else str(column)
    return found


def map_path(folder: Path, name: str) -> Path:
    """Where the match of a name stands in a desk's folder. Raises ValueError for what cannot be such a name."""
    tidy = unicodedata.normalize("NFC", " ".join(name.split()))
    if not _NAME.fullmatch(tidy) or len(tidy) > LONGEST_NAME or tidy.endswith("."):
        raise ValueError(f"A name has at most {LONGEST_NAME} letters, digits, blanks and hyphens.")
    return folder / "columns" / f"{tidy}.json"


def saved_names(folder: Path) -> tuple[str, ...]:
    """The names under which matches are kept, in order."""
    try:
        return tuple(sorted(path.stem for path in (folder / "columns").glob("*.json")))
    except OSError:
        return ()


def save_map(folder: Path, name: str, column_map: ColumnMap) -> Path:
    """Keep a match under a name, in place of one that had it. Raises ValueError with a sentence where it cannot."""
    path = map_path(folder, name)
    try:
        write_durably(path, as_text(column_map).encode())
    except OSError as error:
        raise ValueError(f"{path.name} cannot be written ({error.strerror}). Check the folder.") from None
    return path


def load_map(folder: Path, name: str) -> ColumnMap:
    """The match kept under a name. Raises ValueError with a sentence where there is none or it cannot be read."""
    path = map_path(folder, name)
    try:
        if path.stat().st_size > MOST_BYTES:
            raise ValueError(f"{path.name} is too large. {_NOT_ONE}")
        return from_text(path.read_text(encoding="utf-8-sig"))
    except FileNotFoundError:
        names = ", ".join(saved_names(folder)) or "none"
        raise ValueError(f"No match of columns is called {name}. Kept are: {names}.") from None
    except UnicodeDecodeError:
        raise ValueError(f"{path.name} is not UTF-8. {_NOT_ONE}") from None
    except OSError as error:
        raise ValueError(f"{path.name} cannot be read ({error.strerror}).") from None
