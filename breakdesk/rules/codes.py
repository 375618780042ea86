"""Claim codes: how a code is compared, where it may have been misread, and how it is hidden.

A code is a bearer token: whoever reads it can take the card. An unreadable place is written `?`.
"""

from __future__ import annotations

import heapq
from dataclasses import dataclass
from typing import Final

from breakdesk.rules.compact import compact
from breakdesk.rules.tags import is_well_formed

UNREADABLE = "?"

_SEPARATORS = "._/:"
_DIGITS = "0123456789"
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"

# Crockford's base 32 (crockford.com/base32.html) reads O as 0, and I and L as 1; UTS #39 (confusables.txt) joins the
# same shapes, and the upright bar, from the other side.
_FOLD_PUBLISHED = {"O": "0", "I": "1", "L": "1", "|": "1"}
# UTS #39 joins Cyrillic and Greek capitals with the Latin ones of the same shape; which ones is from memory.
_FOLD_ALPHABETS = dict(zip("АВЕКМНОРСТХІЅЈΑΒΕΖΗΙΚΜΝΟΡΤΥΧ", "ABEKMHOPCTXISJABEZHIKMNOPTYX", strict=True))
# Common practice, no source: neither table has these pairs.
_FOLD_PRACTICE = {"Q": "0", "D": "0", "Z": "2", "S": "5", "G": "6", "B": "8", "U": "V"}

_FOLD = {**_FOLD_PUBLISHED, **_FOLD_PRACTICE}
_COST_PUBLISHED = 2
_COST_PRACTICE = 3


@dataclass(frozen=True, slots=True, order=True)
class _Option:
    cost: int
    rank: int
    symbol: str


def normalise_code(text: str) -> str:
    """The form in which codes are compared and stored: Unicode NFKC, capitals, separators out.

    Separators are spaces, hyphens of any kind, control and invisible characters, and `. _ / :`. An unreadable place
    stays `?`.
    """
    return compact(text, _SEPARATORS)


def fold_lookalikes(code: str) -> str:
    """The code with every symbol replaced by the one that stands for its lookalikes; equal folds deserve a question.

    From published tables: O as 0, I, L and the upright bar as 1 (Crockford base 32, UTS #39), Cyrillic and Greek
    capitals as the Latin ones of the same shape (UTS #39). Common practice, no source: Q and D as 0, Z as 2, S as 5,
    G as 6, B as 8, U as V.
    """
    return "".join(_fold_symbol(symbol) for symbol in normalise_code(code))


def is_partial(code: str) -> bool:
    """Whether a place of the code could not be read."""
    return UNREADABLE in normalise_code(code)


def lookalike_readings(code: str, limit: int) -> tuple[str, ...]:
    """Other readings of a code to try in turn, best first, at most `limit`; the code itself is not among them.

    Fewer changed places come first, and the published lookalikes before those of common practice. An unreadable place
    is filled with each digit and letter, first with the kind that its readable neighbours have.
    """
    written = normalise_code(code)
    places = [_options(written, index) for index in range(len(written))]
    readings: list[str] = []
    start = (0,) * len(places)
    waiting: list[tuple[int, tuple[int, ...], int]] = [(sum(options[0].cost for options in places), start, 0)]
    while waiting and len(readings) < limit:
        cost, chosen, first_free = heapq.heappop(waiting)
        reading = "".join(options[index].symbol for options, index in zip(places, chosen, strict=True))
        if reading != written:
            readings.append(reading)
        # Only places from the last changed one on may move, so that every combination is reached exactly once.
        for place in range(first_free, len(places)):
            following = chosen[place] + 1
            if following < len(places[place]):
                dearer = places[place][following].cost - places[place][chosen[place]].cost
                moved = (*chosen[:place], following, *chosen[place + 1 :])
                heapq.heappush(waiting, (cost + dearer, moved, place))
    return tuple(readings)


def _fold_symbol(symbol: str) -> str:
    latin = _FOLD_ALPHABETS.get(symbol, symbol)
    return _FOLD.get(latin, latin)


def _options(code: str, index: int) -> list[_Option]:
    symbol = code[index]
    if symbol == UNREADABLE:
        return _fillings(code, index)
    others = [other for other in _DIGITS + _LETTERS if other != symbol and _fold_symbol(other) == _fold_symbol(symbol)]
    ranked = [_Option(_cost(symbol, other), rank, other) for rank, other in enumerate(others, start=1)]
    return [_Option(0, 0, symbol), *sorted(ranked)]


def _fillings(code: str, index: int) -> list[_Option]:
    neighbours = code[max(index - 1, 0) : index] + code[index + 1 : index + 2]
    letters_first = sum(neighbour in _LETTERS for neighbour in neighbours) > sum(
        neighbour in _DIGITS for neighbour in neighbours
    )
    likely, unlikely = (_LETTERS, _DIGITS) if letters_first else (_DIGITS, _LETTERS)
    ranked = enumerate(likely + unlikely)
    return [_Option(0 if symbol in likely else 1, rank, symbol) for rank, symbol in ranked]


def _cost(symbol: str, other: str) -> int:
    return _COST_PRACTICE if {symbol, other} & _FOLD_PRACTICE.keys() else _COST_PUBLISHED


SHORTEST_CODE: Final = 6
"""What has fewer symbols than this in its words with figures is no code and no reference."""


def may_hold_code(line: str) -> bool:
    """Whether the words with figures in a typed line look like a code or a reference, and not like a tag or a 7/25."""
    words = [word for word in line.split() if "/" not in word and any(character.isdigit() for character in word)]
    joined = "".join(words)
    return len(joined) >= SHORTEST_CODE and not is_well_formed(joined)
