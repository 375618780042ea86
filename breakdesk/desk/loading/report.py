"""What loading files came to: counts, problems, and the sentences that say it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from breakdesk.files.headers import LOADING_ORDER, Kind
from breakdesk.files.problems import Problem, Severity
from breakdesk.rules.claim import Claim

_ONE = {
    Kind.HOUSE: "house",
    Kind.MAKERS: "maker",
    Kind.PARTICIPANTS: "participant",
    Kind.CHECKLIST: "card",
    Kind.SPOTS: "spot",
    Kind.CLAIMS: "claim",
}


@dataclass(slots=True)
class Counts:
    """How many rows of a kind of file were new, known already, or changed something known."""

    new: int = 0
    known: int = 0
    changed: int = 0

    @property
    def total(self) -> int:
        """All of them."""
        return self.new + self.known + self.changed


@dataclass(frozen=True, slots=True, kw_only=True)
class Example:
    """A new claim as a load would make it. `owner` is a participant's name, or empty for nobody or several."""

    claim: Claim
    owner: str
    maker: str
    product: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadReport:
    """The end of a load. With any error nothing was written.

    `saved` tells whether the desk now holds what the files say; `number` is the action in the history, None where
    nothing was new.
    """

    problems: tuple[Problem, ...]
    counts: Mapping[Kind, Counts] = field(default_factory=dict)
    examples: tuple[Example, ...] = ()
    """The first rows as the claims that they make."""
    said: str
    saved: bool
    number: int | None = None
    key: int = 0

    @property
    def errors(self) -> tuple[Problem, ...]:
        """What keeps the files out."""
        return tuple(problem for problem in self.problems if problem.severity is Severity.ERROR)

    @property
    def warnings(self) -> tuple[Problem, ...]:
        """What a person should look at."""
        return tuple(problem for problem in self.problems if problem.severity is Severity.WARNING)


def counts_words(counts: Mapping[Kind, Counts]) -> str:
    """The counts in words: `4 makers (4 new); 60 participants (1 new, 57 known, 2 changed)`."""
    parts = []
    for kind in LOADING_ORDER:
        found = counts.get(kind)
        if found is None or not found.total:
            continue
        name = _ONE[kind] if found.total == 1 else _ONE[kind] + "s"
        details = [
            f"{number:,} {word}"
            for number, word in ((found.new, "new"), (found.known, "known already"), (found.changed, "changed"))
            if number
        ]
        parts.append(f"{found.total:,} {name} ({', '.join(details)})")
    return "; ".join(parts) or "no rows"


def is_nothing_new(counts: Mapping[Kind, Counts]) -> bool:
    """Whether the desk held all of it before."""
    return not any(found.new or found.changed for found in counts.values())
