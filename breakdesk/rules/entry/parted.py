"""Several players on one card that no checklist knows: "dambrelle + quaynish"."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from breakdesk.rules.entry.candidates import NAME_ROLES, Candidate, Role
from breakdesk.rules.entry.leftovers import text_of, with_capitals
from breakdesk.rules.entry.lexicon import Lexicon
from breakdesk.rules.entry.matching import UNPLACED, Found, cost_of
from breakdesk.rules.entry.said import Said


@dataclass(frozen=True, slots=True)
class Player:
    """One of the players between the marks: a known one, with the places of the words that say so and their worth."""

    known: Candidate | None
    places: frozenset[int]
    worth: float
    alone: bool
    """Whether no other player fits as well."""
    team_said: bool = False
    """Whether the words name the player's team, too."""


def known_players(said: Said, found: Found, lexicon: Lexicon) -> tuple[Player, ...]:
    """The best known player for each part of the line between "&" or "+"; none where no name in the part is known."""
    return tuple(_best_player(places, said, found, lexicon) for places in segments(range(len(said.words)), said))


def segments(places: Sequence[int], said: Said) -> list[list[int]]:
    """The places between the parting marks, empty parts left out."""
    parts: dict[int, list[int]] = {}
    for place in places:
        chunk = said.words[place].chunk
        parts.setdefault(sum(mark <= chunk for mark in said.parted), []).append(place)
    return [parts[part] for part in sorted(parts)]


def typed_names(places: Collection[int], said: Said) -> tuple[str, ...]:
    """The words at these places as names of players, with capitals where none were typed."""
    return tuple(with_capitals(text_of(part, said)) for part in segments(sorted(places), said))


def _best_player(places: Sequence[int], said: Said, found: Found, lexicon: Lexicon) -> Player:
    # A known surname with another given name is somebody else, so every word that can only be a name must fit.
    names = {
        place
        for place in places
        if cost_of(said.words[place]) == UNPLACED and not any(team in found.hits[place] for team in lexicon.teams)
    }
    worths: dict[int, float] = {}
    for index in {index for place in places for index in found.hits[place]}:
        if len(lexicon.candidates[index].subjects) != 1:
            continue
        fits = [found.hits[place].get(index) for place in places]
        named = any(fit is not None and fit.role in NAME_ROLES and fit.how != "slip" for fit in fits)
        if named and not any(fit is None and place in names for place, fit in zip(places, fits, strict=True)):
            worths[index] = sum(
                -cost_of(said.words[place]) if fit is None else fit.strength
                for place, fit in zip(places, fits, strict=True)
            )
    worth = max(worths.values(), default=0.0)
    if worth <= 0:
        return Player(None, frozenset(), 0.0, alone=True)
    best = [index for index in sorted(worths) if worths[index] == worth]
    known = lexicon.candidates[best[0]]
    explained = frozenset(place for place in places if best[0] in found.hits[place])
    alone = len({lexicon.candidates[index].subject_key for index in best}) == 1
    fits = [found.hits[place].get(best[0]) for place in places]
    team_said = any(fit is not None and fit.role is Role.TEAM for fit in fits)
    return Player(known, explained, worth, alone, team_said)
