"""Tell from its header what a file is, and which of our columns each of its columns is."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache

from breakdesk.files.synonyms import COLUMNS, DECIDING, SYNONYMS


class Kind(StrEnum):
    """The kinds of file, each with its columns."""

    HOUSE = "house"
    MAKERS = "makers"
    PARTICIPANTS = "participants"
    CHECKLIST = "checklist"
    SPOTS = "spots"
    CLAIMS = "claims"


OF_CARDS = frozenset({"participant", "subject", "team", "variation", "numbered_to", "serial"})
"""Columns of claims; two of them stand in no list of makers."""

# Files given together depend on each other in this order.
LOADING_ORDER = (Kind.HOUSE, Kind.MAKERS, Kind.PARTICIPANTS, Kind.CHECKLIST, Kind.SPOTS, Kind.CLAIMS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Header:
    """A header understood: for each column of the file our name for it, or None where we have none."""

    kind: Kind
    columns: tuple[str | None, ...]
    unknown: tuple[str, ...]
    doubled: tuple[tuple[str, str, str], ...]
    """Our column, and the two headings in the file that both mean it."""


def folded_heading(text: str) -> str:
    """Return a heading without case, spaces, hyphens, underscores and other signs: `E-Mail ` is `email`."""
    return "".join(character for character in unicodedata.normalize("NFKC", text).casefold() if character.isalnum())


def columns_of(kind: Kind) -> tuple[str, ...]:
    """Return the columns of a kind in the documented order."""
    return COLUMNS[kind.value]


@cache
def _meanings(kind: Kind) -> dict[str, str]:
    """Map every folded spelling to our column; our own names win over synonyms."""
    meanings = {folded_heading(word): column for column, words in SYNONYMS[kind.value].items() for word in words}
    return meanings | {folded_heading(column): column for column in columns_of(kind)}


def kind_of(headings: Sequence[str]) -> Kind | None:
    """Return the kind of file, the first that fits in the documented order, or None."""
    folded = {folded_heading(heading) for heading in headings}
    for name, deciding in DECIDING.items():
        meanings = _meanings(Kind(name))
        if any(meanings.get(heading) in deciding for heading in folded):
            kind = Kind(name)
            return Kind.CLAIMS if kind is Kind.MAKERS and _tells_of_cards(folded) else kind
    return None


def _tells_of_cards(folded: Iterable[str]) -> bool:
    """Whether a table with a maker in it is about cards: read as a list of makers it would lose them silently."""
    meanings = _meanings(Kind.CLAIMS)
    return len(OF_CARDS & {meanings.get(heading) for heading in folded}) >= 2


def read_header(headings: Sequence[str]) -> Header | None:
    """Understand a header, or return None where no kind of file fits.

    A heading spelled as our column wins; a synonym beside it is then an unknown column. Two that are equally good are
    doubled, because nobody can say which one holds the values.
    """
    kind = kind_of(headings)
    return None if kind is None else read_header_as(kind, headings)


def read_header_as(kind: Kind, headings: Sequence[str]) -> Header:
    """Understand a header of a file whose kind is known, as `read_header` does."""
    meanings = _meanings(kind)
    own = {folded_heading(column) for column in columns_of(kind)}
    folded = [folded_heading(heading) for heading in headings]
    exact = {meanings[heading] for heading in folded if heading in own}
    columns: list[str | None] = []
    seen: dict[str, str] = {}
    unknown: list[str] = []
    doubled: list[tuple[str, str, str]] = []
    for position, (heading, fold) in enumerate(zip(headings, folded, strict=True), start=1):
        column = meanings.get(fold)
        if column is not None and column in exact and fold not in own:
            column = None
        if column is not None and column in seen:
            doubled.append((column, seen[column], heading))
            column = None
        elif column is not None:
            seen[column] = heading
        else:
            unknown.append(heading.strip() or f"number {position}, without a heading")
        columns.append(column)
    return Header(kind=kind, columns=tuple(columns), unknown=tuple(unknown), doubled=tuple(doubled))
