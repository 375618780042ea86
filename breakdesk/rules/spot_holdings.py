"""Which of a break's spots hold a team, a player, a letter or a number."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from functools import lru_cache

from breakdesk.rules.break_facts import Spot
from breakdesk.rules.names import folded, without_suffix

_LONGEST_RANGE = 1000


def holds_team(spots: Sequence[Spot], team: str) -> tuple[Spot, ...]:
    """The spots that hold a team by its folded name.

    A name that is written nowhere in full also stands for the only held team that contains all its words, or whose
    words it contains: "Herons" for "Marsh Herons". Where that fits two teams it fits none.
    """
    wanted = folded(team)
    exact = _holding(spots, {wanted})
    if exact or not wanted:
        return exact
    words = set(wanted.split())
    names = {folded(text) for spot in spots for text in spot.holds}
    near = {name for name in names if name and (words <= set(name.split()) or words >= set(name.split()))}
    return _holding(spots, near) if len(near) == 1 else ()


def holds_player(spots: Sequence[Spot], player: str) -> tuple[Spot, ...]:
    """The spots that hold a player by folded name; a missing Jr. or Sr. is forgiven where only one player fits."""
    exact = _holding(spots, {folded(player)})
    if exact:
        return exact
    wanted = without_suffix(player)
    near = {folded(text) for spot in spots for text in spot.holds if wanted and without_suffix(text) == wanted}
    return _holding(spots, near) if len(near) == 1 else ()


def holds_letter(spots: Iterable[Spot], letter: str) -> tuple[Spot, ...]:
    """The spots that hold a surname letter (folded)."""
    return tuple(spot for spot in spots if any(letter in letters_in(text) for text in spot.holds))


def holds_number(spots: Iterable[Spot], number: int) -> tuple[Spot, ...]:
    """The spots that hold a box number, pick number or digit."""
    return tuple(spot for spot in spots if any(number in numbers_in(text) for text in spot.holds))


def _holding(spots: Iterable[Spot], names: set[str]) -> tuple[Spot, ...]:
    return tuple(spot for spot in spots if not names.isdisjoint(_names_in(spot.holds)))


@lru_cache(maxsize=4096)
def _names_in(holds: tuple[str, ...]) -> frozenset[str]:
    return frozenset(map(folded, holds))


@lru_cache(maxsize=4096)
def letters_in(text: str) -> frozenset[str]:
    """The letters that a spot's text holds: "Q", "Q/U/V", "QUV", "X-Z" or "letter Q"."""
    plain = text.casefold().strip().removeprefix("letters").removeprefix("letter").strip()
    span = re.fullmatch(r"([a-z])\s*[-–]\s*([a-z])", plain)
    if span:
        first, last = sorted(map(ord, span.groups()))
        return frozenset(map(chr, range(first, last + 1)))
    return frozenset(character for character in folded(plain) if character.isalnum())


@lru_cache(maxsize=4096)
def numbers_in(text: str) -> frozenset[int]:
    """The numbers that a spot's text holds: "3", "Box 3", "1, 2" or "1-4"."""
    numbers: set[int] = set()
    for first, last in re.findall(r"([0-9]{1,6})(?:\s*[-–]\s*([0-9]{1,6}))?", text):
        low, high = int(first), int(last or first)
        if low <= high < low + _LONGEST_RANGE:
            numbers.update(range(low, high + 1))
        else:
            numbers.update((low, high))
    return frozenset(numbers)
