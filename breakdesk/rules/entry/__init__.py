"""The entry line: one line, any order, few keys, read against a break's cards, spots and people."""

from __future__ import annotations

from breakdesk.rules.entry.code_typed import code_in
from breakdesk.rules.entry.lexicon import Lexicon
from breakdesk.rules.entry.read import read
from breakdesk.rules.entry.reading import (
    Certainty,
    Field,
    Kept,
    Labelled,
    Origin,
    Reading,
    Readings,
    RecentClaim,
)

__all__ = [
    "Certainty",
    "Field",
    "Kept",
    "Labelled",
    "Lexicon",
    "Origin",
    "Reading",
    "Readings",
    "RecentClaim",
    "code_in",
    "read",
]
