"""Participants named in the line with an at sign."""

from __future__ import annotations

from dataclasses import dataclass

from rapidfuzz.distance import OSA

from breakdesk.rules.entry.lexicon import Handle, Lexicon
from breakdesk.rules.entry.reading import Certainty
from breakdesk.rules.names import folded
from breakdesk.rules.ownership import Doubt


@dataclass(frozen=True, slots=True)
class Named:
    """The participants a line names as owners, in order of their ids."""

    ids: tuple[int, ...] = ()
    certainty: Certainty = "sure"
    doubts: tuple[Doubt, ...] = ()


def named_by(handles: list[str], lexicon: Lexicon) -> Named:
    """Look typed handles up: in full, then by their beginning, then with one slip; people of this break first."""
    ids: set[int] = set()
    certainty: Certainty = "sure"
    doubts: list[Doubt] = []
    for handle in sorted(handles):
        people, exact = _people_of(folded(handle).replace(" ", ""), lexicon)
        if not people:
            doubts.append(Doubt("handle", f"Nobody is known as @{handle}."))
            continue
        ids.add(people[0])
        if len(people) > 1:
            certainty = "unsure"
            doubts.append(Doubt("handle", f"@{handle} fits {len(people)} people; add letters."))
        elif not exact and certainty == "sure":
            certainty = "likely"
    return Named(tuple(sorted(ids)), certainty, tuple(doubts))


def _people_of(plain: str, lexicon: Lexicon) -> tuple[list[int], bool]:
    if not plain:
        return [], False
    begun = lexicon.handles_starting(plain)
    exact = [handle for handle in begun if handle.plain == plain]
    for handles in (exact, begun):
        if handles:
            return _of_the_break_first(handles), bool(exact)
    playing = [handle for handle in lexicon.handles if handle.in_break]
    near = [handle for handle in playing if OSA.distance(plain, handle.plain, score_cutoff=1) <= 1]
    return _of_the_break_first(near), False


def _of_the_break_first(handles: list[Handle]) -> list[int]:
    """The people meant; where people of this break are among them, only those."""
    playing = [handle.person_id for handle in handles if handle.in_break]
    return sorted(set(playing or [handle.person_id for handle in handles]))
