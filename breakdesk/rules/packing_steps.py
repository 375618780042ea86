"""The steps of the hand-off, as a house words them: one a card or one a parcel, optional or from a value on."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

CARD_STEPS: Final = "is the card of the claim; serial read; photo of its condition; sleeve; rigid holder"
PARCEL_STEPS: Final = "team bag (optional); padding; slip; address read back; postage"
"""Common practice, no source. Insurance and signature stand in terms of their own."""
MOST_STEPS: Final = 30
LONGEST_STEP: Final = 60

_OPTIONAL = "(optional)"
_FROM_A_VALUE = re.compile(r"(.*\S)\s+from\s+([0-9]{1,7})", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PackingStep:
    """One step; `from_value` is in whole units of the house's currency, 0 for every parcel."""

    name: str
    mandatory: bool = True
    from_value: int = 0

    def is_due(self, value: int | Fraction) -> bool:
        """Whether a parcel worth so many whole units takes this step."""
        return value >= self.from_value


def takes_a_photo(name: str) -> bool:
    """Whether a step, in a house's words, is done by keeping a photo."""
    return "photo" in name.casefold()


def read_steps(written: str) -> tuple[PackingStep, ...]:
    """The steps in a text such as "sleeve; team bag (optional); second photo from 250".

    Raises ValueError with a sentence for steps that are too many, too long or named twice.
    """
    steps = tuple(_steps(written))
    if len(steps) > MOST_STEPS:
        raise ValueError(f"There are {len(steps)} steps; a parcel has at most {MOST_STEPS} of a kind.")
    names = [step.name.casefold() for step in steps]
    for step in steps:
        if names.count(step.name.casefold()) > 1:
            raise ValueError(f"The step {step.name!r} stands there twice.")
    return steps


def _steps(written: str) -> Iterator[PackingStep]:
    for part in written.split(";"):
        words = " ".join(part.split())
        mandatory = not words.casefold().endswith(_OPTIONAL)
        if not mandatory:
            words = words[: -len(_OPTIONAL)].strip()
        found = _FROM_A_VALUE.fullmatch(words)
        name, value = (found[1], int(found[2])) if found else (words, 0)
        if not name:
            continue
        if len(name) > LONGEST_STEP or not name.isprintable():
            raise ValueError(f"A step is at most {LONGEST_STEP} printable characters long.")
        yield PackingStep(name, mandatory, value)


def written_steps(steps: tuple[PackingStep, ...]) -> str:
    """The steps as they are kept: what `read_steps` reads again."""
    return "; ".join(
        f"{step.name}{f' from {step.from_value}' if step.from_value else ''}{'' if step.mandatory else f' {_OPTIONAL}'}"
        for step in steps
    )
