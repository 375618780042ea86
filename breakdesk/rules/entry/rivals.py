"""How certain a field is, seen from the candidates that fit as well or nearly as well."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from breakdesk.rules.entry.candidates import Candidate
from breakdesk.rules.entry.matching import Match
from breakdesk.rules.entry.reading import Certainty

_CLOSE = 3.0


@dataclass(frozen=True, slots=True)
class Rivals:
    """A candidate beside those that fit exactly as well and those that fit nearly as well."""

    candidate: Candidate
    equals: tuple[Candidate, ...]
    close: tuple[Candidate, ...]

    def certainty(self, value: Callable[[Candidate], object]) -> Certainty:
        """`unsure` where an equal differs in this value, `likely` where a close one does."""
        own = value(self.candidate)
        if any(value(other) != own for other in self.equals):
            return "unsure"
        differs = any(value(other) != own and not self._has_more_players(other) for other in self.close)
        return "likely" if differs else "sure"

    def of_the_same_players(self) -> Rivals:
        """Only the rivals that are cards of the same players."""
        key = self.candidate.subject_key
        return Rivals(
            self.candidate,
            tuple(other for other in self.equals if other.subject_key == key),
            tuple(other for other in self.close if other.subject_key == key),
        )

    def _has_more_players(self, other: Candidate) -> bool:
        """Whether the other is a card of these players with more: what is not typed is taken not to be there."""
        return set(other.subject_key) > set(self.candidate.subject_key)


def rivals_of(match: Match, matches: Sequence[Match]) -> Rivals:
    """The rivals of a match among all matches, which stand best first; teams alone are no rivals of players."""
    equals: list[Candidate] = []
    close: list[Candidate] = []
    for other in matches:
        if other.score < match.score - _CLOSE:
            break
        if other is not match and other.candidate.source != "team":
            (equals if other.rank == match.rank else close).append(other.candidate)
    return Rivals(match.candidate, tuple(equals), tuple(close))
