"""What a line is read against, and a reading that still lacks its owner and its checks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from breakdesk.rules.entry.candidates import Candidate
from breakdesk.rules.entry.handles import Named
from breakdesk.rules.entry.lexicon import Lexicon
from breakdesk.rules.entry.matching import Found
from breakdesk.rules.entry.reading import Kept, Reading, RecentClaim
from breakdesk.rules.entry.said import Said


@dataclass(frozen=True, slots=True)
class Setting:
    """A line's parts, what was found for them, and what is known beside the line."""

    said: Said
    found: Found
    lexicon: Lexicon
    kept: Kept
    named: Named
    today: date
    now: datetime | None
    recent: Sequence[RecentClaim]


@dataclass(frozen=True, slots=True)
class Draft:
    """A reading before its owner and its checks, with the candidates that fit as well (its own among them)."""

    reading: Reading
    equals: tuple[Candidate, ...] = ()
