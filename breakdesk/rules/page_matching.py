"""Finds claims by their references in a text pasted from a maker's status page, and what the page says beside each."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Final

from breakdesk.rules.claim import Claim
from breakdesk.rules.names import folded

LONGEST_TEXT: Final = 1_000_000
LONGEST_WORDS: Final = 200
LINES_BELOW: Final = 3
"""A reference that stands alone in its line is read with the lines below it, up to the next reference."""

# In this order: what names a parcel outweighs what a page says in general. Our reading of common words, no source.
_SIGNS: Final = (
    ("refuses", ("refused", "rejected", "denied", "declined", "cancelled", "canceled", "cannot fill", "unable to")),
    ("offers", ("replacement", "substitute", "substitution", "alternative", "alternate")),
    (
        "on_its_way",
        ("shipped", "dispatched", "on its way", "in transit", "sent out", "has left", "delivered", "mailed"),
    ),
    ("waits_signer", ("signer", "signature", "to be signed", "autograph pending", "awaiting autograph")),
    ("being_made", ("being made", "in production", "printing", "being printed", "manufacturing", "in progress")),
    ("no_news", ("pending", "received", "open", "on hold", "waiting", "submitted", "registered", "in the queue")),
)
_DENIALS: Final = (" not yet been ", " not yet ", " not been ", " not ")
_RUN = re.compile(r"[^\W_]+")
_SHAPE = str.maketrans({**dict.fromkeys("0123456789", "9"), **dict.fromkeys("ABCDEFGHIJKLMNOPQRSTUVWXYZ", "A")})


@dataclass(frozen=True, slots=True, kw_only=True)
class PageMatch:
    """A claim found on a page: the words beside its reference, and what they seem to say as one of the answers.

    `reads_as` is None where nothing in the words tells. `known` is what the desk knows: the last answer, `offers` for a
    claim with an open offer, None where the maker never answered.
    """

    claim: Claim
    words: str
    reads_as: str | None
    known: str | None

    @property
    def differs(self) -> bool:
        """Whether the page seems to say something that the desk does not know."""
        return self.reads_as is not None and self.reads_as != (self.known or "no_news")


@dataclass(frozen=True, slots=True, kw_only=True)
class PageReading:
    """What was found: matches in the order of the page, claims that are not on it, references that nobody knows."""

    matches: tuple[PageMatch, ...]
    missing: tuple[Claim, ...]
    unknown: tuple[str, ...]

    @property
    def moved(self) -> tuple[PageMatch, ...]:
        """The matches that differ from what the desk knows."""
        return tuple(match for match in self.matches if match.differs)


@dataclass(frozen=True, slots=True)
class _Found:
    key: str
    line: int
    start: int
    end: int


def match_references(claims: Iterable[Claim], text: str) -> PageReading:
    """Matches by reference: case and whatever stands between letters and digits do not count.

    Nothing is taken from the text but words to show. Raises ValueError for a text of more than a million characters.
    """
    if len(text) > LONGEST_TEXT:
        raise ValueError(f"The text has {len(text):,} characters; paste at most {LONGEST_TEXT:,}.")
    by_key: dict[str, list[Claim]] = {}
    without_reference: list[Claim] = []
    for claim in claims:
        key = reference_key(claim.reference)
        if key:
            by_key.setdefault(key, []).append(claim)
        else:
            without_reference.append(claim)
    lines = text.splitlines()
    longest = max((len(_RUN.findall(claim.reference)) for found in by_key.values() for claim in found), default=1)
    found, unknown = _search(lines, frozenset(by_key), longest)
    matches, seen = [], set()
    for position, place in enumerate(found):
        if place.key in seen:
            continue
        seen.add(place.key)
        words = _words_beside(lines, found, position)
        matches += [_match(claim, words) for claim in by_key[place.key]]
    missing = [claim for key, group in by_key.items() if key not in seen for claim in group] + without_reference
    return PageReading(
        matches=tuple(matches),
        missing=tuple(sorted(missing, key=lambda claim: (claim.reference.casefold(), claim.tag))),
        unknown=tuple(unknown),
    )


def reference_key(reference: str) -> str:
    """What a reference is compared by: its letters and digits, in capitals."""
    return "".join(_RUN.findall(reference)).upper()


def reading_of(words: str) -> str | None:
    """The answer that some words of a page seem to stand for; None where nothing tells."""
    said = f" {folded(words)} "
    for denied in _DENIALS:
        said = said.replace(denied, " not-")
    for answer, signs in _SIGNS:
        if any(f" {sign} " in said for sign in signs):
            return answer
    return None


def _search(lines: Sequence[str], keys: frozenset[str], longest: int) -> tuple[list[_Found], list[str]]:
    """Places of known references, and texts of the same shape as one of them that nobody knows."""
    shapes = {key.translate(_SHAPE) for key in keys if any(map(str.isdigit, key))}
    found: list[_Found] = []
    unknown: dict[str, None] = {}
    for number, line in enumerate(lines):
        runs = list(_RUN.finditer(line))
        position = 0
        while position < len(runs):
            taken, stranger = 0, ""
            for count in range(min(longest, len(runs) - position), 0, -1):
                first, last = runs[position], runs[position + count - 1]
                key = "".join(run.group() for run in runs[position : position + count]).upper()
                if key in keys:
                    found.append(_Found(key, number, first.start(), last.end()))
                    taken = count
                    break
                if not stranger and key.translate(_SHAPE) in shapes:
                    stranger, strange_count = line[first.start() : last.end()], count
            if not taken and stranger:
                unknown[stranger] = None
                taken = strange_count
            position += taken or 1
    return found, list(unknown)


def _words_beside(lines: Sequence[str], found: Sequence[_Found], position: int) -> str:
    place = found[position]
    in_line = [other for other in found if other.line == place.line]
    following = [other.start for other in in_line if other.start >= place.end]
    before = "" if place is not in_line[0] else lines[place.line][: place.start]
    words = _plain(f"{before} {lines[place.line][place.end : min(following, default=None)]}")
    if words or following:
        return words[:LONGEST_WORDS]
    next_line = found[position + 1].line if position + 1 < len(found) else len(lines)
    below = lines[place.line + 1 : min(next_line, place.line + 1 + LINES_BELOW)]
    return _plain(" ".join(below))[:LONGEST_WORDS]


def _plain(text: str) -> str:
    return " ".join(text.split()).strip(" |:;,.-")


def _match(claim: Claim, words: str) -> PageMatch:
    known = "offers" if claim.state == "offered" else claim.answer
    return PageMatch(claim=claim, words=words, reads_as=reading_of(words), known=known)
