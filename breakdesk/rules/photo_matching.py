"""Which claim each photo of a night shows, told by the order in which both came about."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

from breakdesk.rules.wording import counted

LEAD: Final = timedelta(seconds=30)
"""How much earlier than its claim a photo may be taken: a card is held up before its line is saved. Our choice."""


@dataclass(frozen=True, slots=True)
class Matched:
    """For each photo, in the order of its time, the place of its claim in theirs, or None; and how that was told."""

    places: tuple[int | None, ...]
    how: str
    doubt: str = ""


def match_in_time(photos: Sequence[datetime], claims: Sequence[datetime]) -> Matched:
    """Match photos to claims; both are aware instants, earliest first.

    Photos that were all taken after the last claim are of the pile: the first shows the first claim, and so on, with as
    many of each as there are times more photos. Other photos show the claim that was pulled last before them.
    """
    if not claims:
        return Matched((None,) * len(photos), "The break has no claims.")
    if photos and photos[0] > claims[-1]:
        return _of_the_pile(len(photos), len(claims))
    places: list[int | None] = []
    for taken in photos:
        pulled = sum(at <= taken + LEAD for at in claims)
        places.append(pulled - 1 if pulled else None)
    early = places.count(None)
    doubt = f"{counted(early, 'photo was', 'photos were')} taken before the first claim." if early else ""
    return Matched(tuple(places), "Each photo goes to the claim that was pulled last before it was taken.", doubt)


def _of_the_pile(photos: int, claims: int) -> Matched:
    each = max(1, photos // claims)
    places = tuple(place // each if place // each < claims else None for place in range(photos))
    times = "one after the other" if each == 1 else f"{each} photos of each"
    doubt = (
        "" if photos == each * claims else f"{counted(photos, 'photo')}, but {counted(claims, 'claim')}: look closely."
    )
    return Matched(places, f"All were taken after the last claim, so they are of the pile, {times}.", doubt)


def moved_from(places: Sequence[int | None], first: int, steps: int) -> tuple[int | None, ...]:
    """The same with the photos from `first` on moved by so many claims, as where one card was missed or taken twice.

    A place may come to lie outside the claims; moved back it is what it was.
    """
    return tuple(place if place is None or number < first else place + steps for number, place in enumerate(places))
