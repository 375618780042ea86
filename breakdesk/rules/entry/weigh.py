"""Weigh what a line could mean: each match with its unexplained words, and the line as it was typed."""

from __future__ import annotations

from dataclasses import dataclass

from breakdesk.rules.entry.candidates import Role
from breakdesk.rules.entry.leftovers import Leftovers, sort_leftovers
from breakdesk.rules.entry.lexicon import Lexicon
from breakdesk.rules.entry.matching import FREE_WORD, NAMELESS, SMALL, UNPLACED, Found, Match, cost_of
from breakdesk.rules.entry.parted import Player, known_players, segments
from breakdesk.rules.entry.said import Said
from breakdesk.rules.entry.words import EXPIRY_WORDS, FEATURE_WORDS, KIND_WORDS, PLAN_WORDS

_NAMESAKE = 8.0
_SHORTEST_NAME = 3
_LINE_WORDS = (*KIND_WORDS, *PLAN_WORDS, *EXPIRY_WORDS, *FEATURE_WORDS, "pick")


@dataclass(frozen=True, slots=True)
class Weighed:
    """A match, or None for the line as it was typed, with what its unexplained words mean and the score with them."""

    match: Match | None
    leftovers: Leftovers
    score: float
    players: tuple[Player, ...] = ()


def weigh_match(match: Match, said: Said, found: Found, lexicon: Lexicon) -> Weighed:
    """Sort the words that the match does not explain; those that mean something else cost it little."""
    candidate = match.candidate
    places = [
        place
        for place, (word, fit) in enumerate(zip(said.words, match.fits, strict=True))
        if fit is None and not (word.features and candidate.features.issuperset(word.features))
    ]
    leftovers = sort_leftovers(places, said, found, lexicon, free=False)
    score = match.score
    score += sum(cost_of(said.words[place]) - SMALL for place in places if place not in leftovers.left)
    contradicted = candidate.source == "checklist" and bool(candidate.teams)
    if leftovers.teams:
        score += leftovers.team_worth - (UNPLACED if contradicted else 0.0)
    if _may_be_a_relative(match) and any(_is_a_name(said.words[place].plain) for place in leftovers.left):
        score -= _NAMESAKE
    if candidate.subjects and len(candidate.subjects) < len(segments(range(len(said.words)), said)):
        score += NAMELESS
    return Weighed(match, leftovers, score)


def _may_be_a_relative(match: Match) -> bool:
    """A whole surname beside a name that fits nothing is more likely a namesake whom nobody listed."""
    fits = [fit for fit in match.fits if fit is not None]
    whole_surname = any(fit.role is Role.SURNAME and fit.how == "exact" for fit in fits)
    return whole_surname and not any(fit.role is Role.GIVEN for fit in fits)


def _is_a_name(word: str) -> bool:
    """Whether a word that fits nothing can be a name, and not a word of the line that is still being typed."""
    return len(word) >= _SHORTEST_NAME and word.isalpha() and not any(other.startswith(word) for other in _LINE_WORDS)


def weigh_as_typed(said: Said, found: Found, lexicon: Lexicon) -> Weighed:
    """Take the words that mean nothing known for a player's name."""
    players = known_players(said, found, lexicon) if said.parted else ()
    explained = {place for player in players for place in player.places}
    places = [place for place in range(len(said.words)) if place not in explained]
    leftovers = sort_leftovers(places, said, found, lexicon, free=True)
    score = FREE_WORD * len(leftovers.left) + leftovers.team_worth - SMALL * len(leftovers.features)
    return Weighed(None, leftovers, score + sum(player.worth for player in players), players)
