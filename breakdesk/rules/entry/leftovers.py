"""The words that a candidate does not explain: a team, a variation, a feature, a person, or a name as typed."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field

from breakdesk.rules.entry.lexicon import Lexicon
from breakdesk.rules.entry.matching import Fit, Found
from breakdesk.rules.entry.said import Said, Word
from breakdesk.rules.entry.words import FEATURE_WORDS

_MOST_TEAMS = 3
_SHORTEST_START = 3
_SHORTEST_SLIP = 5
_SHORTEST_HANDLE = 3
_LETTERS = re.compile(r"[^\W\d_]+")


@dataclass(slots=True)
class Leftovers:
    """What the unexplained words mean; `left` are those that mean nothing known, as places in the line."""

    teams: list[str] = field(default_factory=list)
    rival_teams: list[str] = field(default_factory=list)
    team_slip: bool = False
    team_worth: float = 0.0
    variation: list[int] = field(default_factory=list)
    features: list[str] = field(default_factory=list)
    guessed_features: list[str] = field(default_factory=list)
    named: list[int] = field(default_factory=list)
    left: list[int] = field(default_factory=list)


def sort_leftovers(places: Sequence[int], said: Said, found: Found, lexicon: Lexicon, *, free: bool) -> Leftovers:
    """Sort the words at these places of the line.

    `free` says that what means nothing known will be taken for a player's name, so that words are taken for
    something else only where that is clear.
    """
    sorted_out = Leftovers()
    rest: list[int] = []
    for place in places:
        word = said.words[place]
        if word.features:
            sorted_out.features.extend(word.features)
        elif word.bracketed or (word.plain in lexicon.variation_words and not word.quoted):
            sorted_out.variation.append(place)
        else:
            rest.append(place)
    rest = _take_teams(sorted_out, rest, said, found, lexicon, free=free)
    for place in rest:
        word = said.words[place]
        person = _person_of(word, lexicon)
        guessed = () if free or word.quoted else _feature_begun(word.plain)
        if person is not None and not word.quoted:
            sorted_out.named.append(person)
        elif guessed:
            sorted_out.guessed_features.extend(guessed)
        else:
            sorted_out.left.append(place)
    return sorted_out


def _take_teams(
    sorted_out: Leftovers, places: list[int], said: Said, found: Found, lexicon: Lexicon, *, free: bool
) -> list[int]:
    """Take the words of teams, the best-fitting team first, and return the places of the other words."""
    rest = places
    for _ in range(_MOST_TEAMS):
        fits = _team_fits(rest, said, found, lexicon, free=free)
        if not fits:
            break
        worths = {index: sum(fit.strength for fit in by_place.values()) for index, by_place in fits.items()}
        best = min(worths, key=lambda index: (-worths[index], index))
        taken = fits[best].keys()
        # A team that fits other words as well as this one fits its own is a second team, not a rival.
        rivals = [index for index in sorted(fits) if index != best and fits[index].keys() == taken]
        rivals = [index for index in rivals if worths[index] == worths[best]]
        sorted_out.teams.append(lexicon.candidates[best].teams[0])
        sorted_out.rival_teams.extend(lexicon.candidates[index].teams[0] for index in rivals)
        sorted_out.team_slip |= any(fit.how == "slip" for fit in fits[best].values())
        sorted_out.team_worth += worths[best]
        rest = [place for place in rest if place not in taken]
    return rest


def _team_fits(
    places: Collection[int], said: Said, found: Found, lexicon: Lexicon, *, free: bool
) -> dict[int, dict[int, Fit]]:
    fits: dict[int, dict[int, Fit]] = {}
    for place in places:
        hits, word = found.hits[place], said.words[place]
        for index in lexicon.teams:
            fit = hits.get(index)
            if fit is not None and _clear_enough(word, fit, free=free):
                fits.setdefault(index, {})[place] = fit
    return fits


def _clear_enough(word: Word, fit: Fit, *, free: bool) -> bool:
    if word.quoted and fit.how != "exact":
        return False
    shortest = {"exact": 1, "start": _SHORTEST_START if free else 2, "slip": _SHORTEST_SLIP}
    return len(word.plain) >= shortest[fit.how]


def _person_of(word: Word, lexicon: Lexicon) -> int | None:
    """A participant of this break whose handle or on-air name was typed in full."""
    if len(word.plain) < _SHORTEST_HANDLE:
        return None
    owners = {
        handle.person_id
        for handle in lexicon.handles_starting(word.plain)
        if handle.in_break and handle.plain == word.plain
    }
    return owners.pop() if len(owners) == 1 else None


def _feature_begun(plain: str) -> tuple[str, ...]:
    """The features of the only feature that starts with the word."""
    if len(plain) < _SHORTEST_START:
        return ()
    begun = {features for form, features in FEATURE_WORDS.items() if form.startswith(plain)}
    return begun.pop() if len(begun) == 1 else ()


def text_of(places: Collection[int], said: Said) -> str:
    """The words at these places as they were typed, in the order of the line."""
    chunks = dict.fromkeys(said.words[place].chunk for place in sorted(places))
    return " ".join(said.chunks[chunk] for chunk in chunks)


def with_capitals(text: str) -> str:
    """A text typed without capitals with one at each word; any other text as it is."""
    if text != text.lower():
        return text
    return _LETTERS.sub(lambda match: match[0][:1].upper() + match[0][1:], text)
