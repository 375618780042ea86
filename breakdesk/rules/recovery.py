"""Recovery keys: eight groups of six symbols to print and to type, each group with its own check symbol.

The alphabet is that of the tags, which leaves out what is misread most. Forty free symbols of an alphabet of 23 hold
180 bits, so that nobody guesses one. The check symbol also counts the group's place, so that a group in another's
place is noticed like a wrong symbol.
"""

from __future__ import annotations

from collections.abc import Sequence

from breakdesk.rules.compact import compact
from breakdesk.rules.tags import TAG_ALPHABET

GROUPS = 8
FREE_SYMBOLS = 5
SYMBOLS = GROUPS * FREE_SYMBOLS
_BASE = len(TAG_ALPHABET)
_WEIGHTS = (6, 5, 4, 3, 2)
_VALUES = {symbol: value for value, symbol in enumerate(TAG_ALPHABET)}


def written(values: Sequence[int]) -> str:
    """The key as it is printed. `values` are forty random numbers from 0 to 22."""
    if len(values) != SYMBOLS or not all(0 <= value < _BASE for value in values):
        raise ValueError("a recovery key has forty values from 0 to 22")
    groups = []
    for place in range(GROUPS):
        part = values[place * FREE_SYMBOLS : (place + 1) * FREE_SYMBOLS]
        groups.append("".join(TAG_ALPHABET[value] for value in (*part, _check_value(part, place))))
    return " ".join(groups)


def doubt(text: str) -> str | None:
    """What is wrong with a typed key, in a sentence that names the group; None where every group adds up."""
    symbols = compact(text)
    strangers = [symbol for symbol in dict.fromkeys(symbols) if symbol not in _VALUES]
    if strangers:
        return f"A recovery key has no {' and no '.join(strangers[:3])}."
    if len(symbols) != GROUPS * (FREE_SYMBOLS + 1):
        return f"A recovery key has {GROUPS} groups of six symbols, 48 in all; this has {len(symbols)}."
    for place in range(GROUPS):
        group = symbols[place * 6 : place * 6 + 6]
        part = [_VALUES[symbol] for symbol in group[:FREE_SYMBOLS]]
        if _VALUES[group[-1]] != _check_value(part, place):
            return f"Group {place + 1} ({group}) does not add up: look at it again."
    return None


def plain(text: str) -> str:
    """The form in which a key that is not in doubt is used."""
    return compact(text)


def _check_value(part: Sequence[int], place: int) -> int:
    total = sum(weight * value for weight, value in zip(_WEIGHTS, part, strict=True)) + place + 1
    return -total % _BASE
