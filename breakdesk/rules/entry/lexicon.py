"""The words that a running break's entry line can use, arranged for looking up while a person types."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from rapidfuzz.distance import OSA
from rapidfuzz.process import extract

from breakdesk.rules.break_facts import BreakFacts, Card, Person
from breakdesk.rules.entry.candidates import Candidate, Role, Source, candidates_from
from breakdesk.rules.entry.words import VARIATION_WORDS
from breakdesk.rules.names import folded
from breakdesk.rules.ownership import SharedRule

_MOST_SPELLINGS = 8
_SHORTEST_BEGINNING = 4
_SHORTEST_MISSPELLED = 3
_LONGEST_MISSPELLED = 30
_LAST_CHARACTER = "\U0010ffff"

Postings = dict[Role, list[int]]


@dataclass(frozen=True, slots=True)
class Handle:
    """A folded handle or on-air name and whose it is."""

    plain: str
    person_id: int
    in_break: bool


@dataclass(frozen=True, slots=True, eq=False, repr=False)
class Lexicon:
    """Everything a line can name in one break; built before the first key press, and again when the facts change."""

    facts: BreakFacts | None
    shared: SharedRule
    currency: str
    candidates: tuple[Candidate, ...]
    has_checklist: bool
    vocabulary: list[str]
    postings: Mapping[str, Postings]
    handles: list[Handle]
    teams: range
    variation_words: frozenset[str]
    _by_middle: Mapping[str, list[str]]
    _spellings: dict[str, tuple[tuple[str, float], ...]] = field(default_factory=dict)

    @classmethod
    def build(
        cls,
        facts: BreakFacts | None,
        cards: Sequence[Card],
        people: Sequence[Person],
        older_cards: Sequence[Card] = (),
        *,
        shared: SharedRule = "random",
        currency: str = "USD",
    ) -> Lexicon:
        """Arrange a break's words.

        `cards` are the checklists of the break's products, `older_cards` those of other products, newest first: a
        player's teams are taken from them where the checklist is missing. `shared` is the house's rule for cards of
        several owners, `currency` the house's.
        """
        candidates = candidates_from(facts, cards, older_cards)
        postings = _postings(candidates)
        vocabulary = sorted(postings)
        by_middle: dict[str, list[str]] = {}
        for word in vocabulary:
            by_middle.setdefault(word[1:3], []).append(word)
        return cls(
            facts=facts,
            shared=shared,
            currency=currency,
            candidates=candidates,
            has_checklist=bool(cards),
            vocabulary=vocabulary,
            postings=postings,
            handles=_handles(facts, people),
            teams=_range_of("team", candidates),
            variation_words=_variation_words(postings, older_cards),
            _by_middle=by_middle,
        )

    def renewed(self, facts: BreakFacts | None, people: Sequence[Person], currency: str) -> Lexicon | None:
        """The same cards with the people and the owners of spots as they are now; None where the spots are others."""
        if _spots_named(facts) != _spots_named(self.facts):
            return None
        return replace(self, facts=facts, currency=currency, handles=_handles(facts, people))

    def starting_with(self, prefix: str) -> list[str]:
        """The known words that start with a prefix, in alphabetical order."""
        first = bisect_left(self.vocabulary, prefix)
        last = bisect_left(self.vocabulary, prefix + _LAST_CHARACTER, lo=first)
        return self.vocabulary[first:last]

    def spelled_like(self, word: str) -> tuple[tuple[str, float], ...]:
        """Known words at most one slip away (two from six letters on), with their likeness below 1.

        A slip is a letter too many, missing, wrong or swapped with its neighbour; from four letters on it may be in the
        beginning of a longer word. Looked at are only words with the
        same first letter or the same second and third, so that the cost does not grow with the checklist.
        """
        if not _SHORTEST_MISSPELLED <= len(word) <= _LONGEST_MISSPELLED:
            return ()
        known = self._spellings.get(word)
        if known is None:
            known = self._spellings[word] = self._search(word)
        return known

    def _search(self, word: str) -> tuple[tuple[str, float], ...]:
        slips = 1 if len(word) < 6 else 2
        begun = self.starting_with(word[0])
        near = set(self._by_middle.get(word[1:3], ())).union(begun)
        whole = {other: other for other in sorted(near) if _comparable(other, word, slips)}
        found = {
            known: 1 - distance / max(len(known), len(word))
            for _, distance, known in extract(
                word, whole, scorer=OSA.distance, score_cutoff=slips, limit=_MOST_SPELLINGS
            )
        }
        if len(word) >= _SHORTEST_BEGINNING:
            starts = {other: other[: len(word)] for other in begun if len(other) > len(word) and other not in found}
            for _, distance, known in extract(word, starts, scorer=OSA.distance, score_cutoff=1, limit=_MOST_SPELLINGS):
                found[known] = 1 - (distance + 1) / len(word)
        found.pop(word, None)
        return tuple((known, likeness) for known, likeness in found.items() if not known.startswith(word))

    def handles_starting(self, prefix: str) -> list[Handle]:
        """Handles and on-air names that start with a folded prefix."""
        first = bisect_left(self.handles, prefix, key=lambda handle: handle.plain)
        last = bisect_left(self.handles, prefix + _LAST_CHARACTER, lo=first, key=lambda handle: handle.plain)
        return self.handles[first:last]


def _spots_named(facts: BreakFacts | None) -> object:
    """What of a break its words are made of: all but who owns a spot."""
    return facts and (facts.format, facts.product_ids, [(spot.product_id, spot.holds) for spot in facts.spots])


def _comparable(other: str, word: str, slips: int) -> bool:
    return len(other) >= _SHORTEST_MISSPELLED and abs(len(other) - len(word)) <= slips


def _variation_words(postings: Mapping[str, Postings], older_cards: Iterable[Card]) -> frozenset[str]:
    listed = {word for word, roles in postings.items() if Role.VARIATION in roles}
    older = {word for variation in {card.variation for card in older_cards} for word in folded(variation).split()}
    return VARIATION_WORDS | listed | older


def _range_of(source: Source, candidates: Sequence[Candidate]) -> range:
    """Where the candidates of one source stand, which is always in one piece."""
    places = [index for index, candidate in enumerate(candidates) if candidate.source == source]
    return range(places[0], places[-1] + 1) if places else range(0)


def _postings(candidates: Iterable[Candidate]) -> dict[str, Postings]:
    postings: dict[str, Postings] = {}
    for index, candidate in enumerate(candidates):
        for word, role in dict.fromkeys(candidate.roles()):
            postings.setdefault(word, {}).setdefault(role, []).append(index)
    return postings


def _handles(facts: BreakFacts | None, people: Iterable[Person]) -> list[Handle]:
    playing = {owner for spot in facts.spots for owner in spot.owners} if facts else set()
    handles = {
        Handle(plain, person.id, person.id in playing)
        for person in people
        for plain in {folded(person.handle).replace(" ", ""), folded(person.on_air_name).replace(" ", "")}
        if plain
    }
    return sorted(handles, key=lambda handle: (handle.plain, not handle.in_break, handle.person_id))
