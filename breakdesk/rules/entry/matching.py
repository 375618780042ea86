"""How well a line's words fit each candidate: exact words, beginnings of words, and slips of the finger."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import nlargest
from typing import Final, Literal

from breakdesk.rules.entry.candidates import NAME_ROLES, Candidate, Role
from breakdesk.rules.entry.lexicon import Lexicon
from breakdesk.rules.entry.said import Said, Word
from breakdesk.rules.entry.words import VARIATION_WORDS
from breakdesk.rules.names import PARTICLES, SUFFIXES

How = Literal["exact", "start", "slip"]

# The order of preference is a rule that an operator can learn: a surname before a given name before a team before a
# variation, and a whole word before the beginning of one before a slip.
_STRENGTH: Final = {
    Role.SURNAME: 10.0,
    Role.MIDDLE: 9.0,
    Role.NUMBER: 9.0,
    Role.GIVEN: 8.0,
    Role.TEAM: 7.0,
    Role.VARIATION: 6.0,
    Role.PARTICLE: 2.0,
    Role.SUFFIX: 2.0,
}
_ONLY_WHOLE = frozenset({Role.PARTICLE, Role.SUFFIX, Role.NUMBER})
_START_COST = 1.0
# A single letter is an initial of a name; it never stands for a team or a variation.
_INITIAL = {Role.GIVEN: 2.5, Role.MIDDLE: 2.2, Role.SURNAME: 2.0}
_SLIP_SHARE = 0.7
_FEATURE = 3.0
_SAME_RUN = 6.0
_NO_RUN = -2.0
_OTHER_RUN = -3.0
_OTHER_PRODUCT = -2.0
_OLDER_BESIDE_CHECKLIST = -3.0
_WHOLE_NAME = 0.5
_WORTH_A_LOOK = 6.0
_MOST_MATCHES = 100

UNPLACED: Final = 4.0
"""What a word costs that a candidate cannot explain."""
FREE_WORD: Final = 2.5
"""What a word is worth that is taken as it was typed."""
NAMELESS: Final = -20.0
"""What it costs a candidate that none of its players is named, or that it has fewer players than the line."""
SMALL: Final = 1.0
"""What a colour, a suffix or a feature costs that a candidate does not have."""


@dataclass(frozen=True, slots=True)
class Fit:
    """How one word fits a candidate, and which known word it stands for."""

    strength: float
    role: Role
    how: How
    known: str


@dataclass(frozen=True, slots=True)
class Match:
    """A candidate with its score; `extras` counts what it has and the line does not say; `fits` goes word by word."""

    candidate: Candidate
    score: float
    extras: int
    fits: tuple[Fit | None, ...]

    @property
    def rank(self) -> tuple[float, int]:
        """Sort key, best first."""
        return -self.score, self.extras


@dataclass(frozen=True, slots=True)
class Found:
    """What was found for a line: the matches, best first, and word by word which candidates have it."""

    matches: tuple[Match, ...]
    hits: tuple[dict[int, Fit], ...]


def found_for(said: Said, lexicon: Lexicon, product_id: int | None) -> Found:
    """The candidates that the line's words fit; `product_id` is the product kept from before."""
    alone = len(said.words) == 1
    hits = tuple(hits_of(word, lexicon, alone=alone) for word in said.words)
    totals: dict[int, float] = {}
    for word, found in zip(said.words, hits, strict=True):
        regained = cost_of(word)
        for index, fit in found.items():
            totals[index] = totals.get(index, 0.0) + fit.strength + regained
    if not totals:
        return Found((), hits)
    spent = sum(cost_of(word) for word in said.words)
    matches = [
        _match(index, totals[index] - spent, said, hits, lexicon, product_id)
        for index in _worth_a_look(totals, said, lexicon)
    ]
    return Found(tuple(sorted(matches, key=lambda match: match.rank)), hits)


def _worth_a_look(totals: dict[int, float], said: Said, lexicon: Lexicon) -> list[int]:
    """The candidates that can still win, never half a checklist, which one letter fits and does not decide."""
    floor = max(totals.values()) - _WORTH_A_LOOK
    indexes = sorted(index for index, total in totals.items() if total >= floor)
    if len(indexes) <= _MOST_MATCHES:
        return indexes

    def promise(index: int) -> float:
        return totals[index] + _run_score(said, lexicon.candidates[index])

    return nlargest(_MOST_MATCHES, indexes, key=promise)


def cost_of(word: Word) -> float:
    """What it costs a candidate not to have this word."""
    small = (
        word.features
        or word.bracketed
        or word.plain in VARIATION_WORDS
        or word.plain in SUFFIXES
        or word.plain in PARTICLES
    )
    return SMALL if small else UNPLACED


def hits_of(word: Word, lexicon: Lexicon, *, alone: bool = False) -> dict[int, Fit]:
    """Every candidate that has the word, with the best way in which it has it.

    A single letter that stands `alone` begins half of all names and says nothing, so that it is not looked up.
    """
    hits: dict[int, Fit] = {}
    _add(hits, lexicon, word.plain, "exact", 1.0)
    if word.features or (alone and len(word.plain) == 1):
        return hits
    # "de" beside other words is a particle of some name, and says of "Delacroix" no more than an initial does.
    initial = len(word.plain) == 1 or (word.plain in PARTICLES and not alone)
    for known in lexicon.starting_with(word.plain):
        if known != word.plain:
            _add(hits, lexicon, known, "start", 1.0, initial=initial)
    for known, likeness in lexicon.spelled_like(word.plain):
        _add(hits, lexicon, known, "slip", likeness)
    if word.bracketed:
        return {index: fit for index, fit in hits.items() if fit.role is Role.VARIATION}
    return hits


def _add(
    hits: dict[int, Fit], lexicon: Lexicon, known: str, how: How, likeness: float, *, initial: bool = False
) -> None:
    for role, indexes in lexicon.postings.get(known, {}).items():
        strength = _strength(role, how, likeness, initial=initial)
        if strength <= 0:
            continue
        fit = Fit(strength, role, how, known)
        for index in indexes:
            present = hits.get(index)
            if present is None or present.strength < strength:
                hits[index] = fit


def _strength(role: Role, how: How, likeness: float, *, initial: bool) -> float:
    if how == "exact":
        return _STRENGTH[role]
    if role in _ONLY_WHOLE:
        return 0.0
    if how == "slip":
        return _STRENGTH[role] * _SLIP_SHARE * likeness
    return _INITIAL.get(role, 0.0) if initial else _STRENGTH[role] - _START_COST


def _match(
    index: int, score: float, said: Said, hits: Sequence[dict[int, Fit]], lexicon: Lexicon, product_id: int | None
) -> Match:
    candidate = lexicon.candidates[index]
    fits = tuple(found.get(index) for found in hits)
    for word, fit in zip(said.words, fits, strict=True):
        if word.features and candidate.features.issuperset(word.features):
            score += _FEATURE + SMALL if fit is None else max(0.0, _FEATURE - fit.strength)
    if candidate.subjects and not any(fit is not None and fit.role in NAME_ROLES for fit in fits):
        score += NAMELESS
    score += _run_score(said, candidate) + _whole_name_score(said, candidate, fits)
    if candidate.product_id not in (None, product_id) and product_id is not None:
        score += _OTHER_PRODUCT
    if candidate.source == "older" and lexicon.has_checklist:
        score += _OLDER_BESIDE_CHECKLIST
    return Match(candidate, round(score, 3), _extras(said, candidate, fits), fits)


def _run_score(said: Said, candidate: Candidate) -> float:
    if candidate.card is None:
        return 0.0
    run = candidate.card.numbered_to
    if said.numbered_to is not None:
        return _SAME_RUN if run == said.numbered_to else _NO_RUN if run is None else _OTHER_RUN
    if said.serial is not None:
        return SMALL if run is not None and run >= said.serial else 0.0
    return 0.0


def _whole_name_score(said: Said, candidate: Candidate, fits: Sequence[Fit | None]) -> float:
    """A player whose name was typed in full comes before one of whose name it is only a part: father before Jr."""
    exact = {fit.known for fit in fits if fit is not None and fit.how == "exact"}
    whole = any(exact.issuperset(words) for words in candidate.subject_words)
    return _WHOLE_NAME if whole and len(said.words) > 1 else 0.0


def _extras(said: Said, candidate: Candidate, fits: Sequence[Fit | None]) -> int:
    """How much of the card the line does not say: what is not typed is taken not to be there."""
    card = candidate.card
    if card is None:
        return 0
    roles = {fit.role for fit in fits if fit is not None}
    said_features = {feature for word in said.words for feature in word.features}
    known = {fit.known for fit in fits if fit is not None and fit.role in NAME_ROLES}
    named = sum(not words.isdisjoint(known) for words in candidate.subject_words)
    extras = 2 * max(0, len(card.subjects) - max(1, named))
    extras += bool(card.variation) and Role.VARIATION not in roles
    extras += card.numbered_to is not None and said.numbered_to is None
    extras += len(candidate.features - said_features - {"rookie"})
    # A plain card of the set is never a claim, so it comes last.
    plain = not candidate.features and card.numbered_to is None and not card.variation
    return extras + 3 * plain
