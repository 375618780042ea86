"""A long message cut into numbered parts, at the ends of sentences wherever there is one.

A part is measured in 16 bit units, the largest of the counts in use, so that it fits wherever it is pasted.
"""

from __future__ import annotations

import unicodedata

SMALLEST_LIMIT = 20
_CLOSERS = "\"')]”’»"
_FULL_STOPS = "。！？"
_JOINERS = "\u200d\ufe0e\ufe0f"


def length_in_units(text: str) -> int:
    """Length in 16 bit units: two for a character beyond the basic plane."""
    return len(text) + sum(character > "\uffff" for character in text)


def split_numbered(text: str, limit: int) -> tuple[str, ...]:
    """Cut into parts of at most `limit` units, numbered "1/3 " in front; one part stays without a number.

    The numbers count towards the limit. Only blanks and line ends at a cut are lost. A sentence longer than a part
    is cut between words, a word longer than a part between characters. Raises ValueError below SMALLEST_LIMIT.
    """
    if limit < SMALLEST_LIMIT:
        raise ValueError(f"a part needs at least {SMALLEST_LIMIT} characters, not {limit}")
    text = text.strip()
    if length_in_units(text) <= limit:
        return (text,) if text else ()
    for digits in range(1, SMALLEST_LIMIT // 2 - 1):
        pieces = _pieces(text, limit - 2 * digits - 2)
        if len(str(len(pieces))) <= digits:
            break
    return tuple(f"{number}/{len(pieces)} {piece}" for number, piece in enumerate(pieces, start=1))


def _pieces(text: str, room: int) -> list[str]:
    pieces, start = [], 0
    while start < len(text):
        end = _window_end(text, start, room)
        if end < len(text):
            end = _best_cut(text, start, end)
        piece = text[start:end].rstrip()
        if piece:
            pieces.append(piece)
        start = end
        while start < len(text) and text[start].isspace():
            start += 1
    return pieces


def _window_end(text: str, start: int, room: int) -> int:
    end = min(len(text), start + room)
    excess = length_in_units(text[start:end]) - room
    while excess > 0:
        end -= 1
        excess -= 2 if text[end] > "\uffff" else 1
    return end


def _best_cut(text: str, start: int, end: int) -> int:
    """The last sentence end up to `end`, else the last blank, else the last place between two whole characters."""
    for position in range(end, start, -1):
        if _ends_sentence(text, position):
            return position
    for position in range(end, start, -1):
        if text[position].isspace():
            return position
    for position in range(end, start, -1):
        if not _inside_character(text, position):
            return position
    return end


def _ends_sentence(text: str, position: int) -> bool:
    """True where a sentence or a line ends just before `position`."""
    following = text[position]
    if following == "\n":
        return True
    last = position - 1
    if text[last] in _FULL_STOPS:
        return True
    if not following.isspace():
        return False
    while last > 0 and text[last] in _CLOSERS:
        last -= 1
    if text[last] in "!?…":
        return True
    return text[last] == "." and not _is_abbreviation(text, last, position)


def _is_abbreviation(text: str, stop: int, position: int) -> bool:
    """A full stop after one capital letter, or before a small letter or a digit, rarely ends a sentence."""
    initial = stop >= 1 and text[stop - 1].isupper() and (stop == 1 or text[stop - 2].isspace())
    rest = text[position : position + 8].lstrip()
    return initial or (bool(rest) and (rest[0].islower() or rest[0].isdigit()))


def _inside_character(text: str, position: int) -> bool:
    following, before = text[position], text[position - 1]
    return bool(unicodedata.combining(following)) or following in _JOINERS or before == "\u200d"
