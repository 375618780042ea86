"""When each participant was last told: some have news, some have heard nothing for long, most are up to date."""

from __future__ import annotations

import random
from collections.abc import Callable

from .claims import Claim

_SILENT_PEOPLE = 8
_NEVER_TOLD_PEOPLE = 4


def tell_all(claims: list[Claim], chance: random.Random) -> None:
    """Set the day of the last telling on every claim that has a participant."""
    by_person: dict[str, list[Claim]] = {}
    for claim in claims:
        if claim.person:
            by_person.setdefault(claim.person, []).append(claim)
    never = _first(by_person, _NEVER_TOLD_PEOPLE, _fit_never)
    silent = _first({name: mine for name, mine in by_person.items() if name not in never}, _SILENT_PEOPLE, _fit_silent)
    for name, mine in by_person.items():
        if name in silent:
            newest = min(day for claim in mine for day in _days(claim))
            _tell(mine, min(newest, chance.randint(66, 95)))
        elif name not in never:
            newest = min((day for claim in mine if not _left_untold(claim) for day in _days(claim)), default=None)
            if newest is not None:
                _tell(mine, min(newest, chance.randint(5, 48)))


def _first(by_person: dict[str, list[Claim]], count: int, fits: Callable[[list[Claim]], bool]) -> set[str]:
    return set([name for name, mine in sorted(by_person.items()) if fits(mine)][:count])


def _open_submitted(claim: Claim) -> bool:
    return claim.case.startswith("waiting")


def _fit_never(mine: list[Claim]) -> bool:
    return any(_open_submitted(claim) for claim in mine) and all(
        claim.closed_age is None and claim.arrived_age is None and claim.refused_age is None for claim in mine
    )


def _fit_silent(mine: list[Claim]) -> bool:
    return any(_open_submitted(claim) for claim in mine) and all(day >= 66 for claim in mine for day in _days(claim))


def _days(claim: Claim) -> list[int]:
    ages = (
        claim.pulled_age,
        claim.submitted_age,
        claim.refused_age,
        claim.arrived_age,
        claim.shipped_age,
        claim.closed_age,
    )
    return [age for age in ages if age is not None]


def _left_untold(claim: Claim) -> bool:
    return "untold" in claim.case or claim.pulled_age <= 2 or claim.case in {"refused_early", "pulled_last_day"}


def _tell(mine: list[Claim], told_age: int) -> None:
    for claim in mine:
        if claim.closed_age is not None:
            claim.told_age = max(told_age, claim.closed_age)
        elif not _left_untold(claim):
            claim.told_age = told_age
        else:
            before = max(told_age, min(_days(claim)) + 4)
            claim.told_age = before if before <= claim.pulled_age else None
