"""What is expected to go wrong, as values: what happened, where, and what to do about it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that a person can correct. Nothing was saved by the action that gives it."""

    what: str
    remedy: str = ""
    where: str = ""

    @property
    def sentence(self) -> str:
        """The problem in one line, for the screen and the command line alike."""
        place = f"{self.where}: " if self.where else ""
        return f"{place}{self.what} {self.remedy}".strip()


class Refusal(Exception):  # noqa: N818 - carries a problem out of an action's transaction, never further
    """Ends an action with a problem, so that its transaction is rolled back."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(problem.sentence)
        self.problem = problem


@dataclass(frozen=True, slots=True)
class Done:
    """An action took place. `said` tells a person what was done; `claims` are the keys of the claims it touched."""

    said: str
    claims: tuple[int, ...] = ()
    number: int | None = None
    warnings: tuple[str, ...] = ()
    key: int = 0
    """The action's random id, by which it can be undone."""


Result = Done | Problem


def refuse(what: str, remedy: str = "", where: str = "") -> Refusal:
    """A refusal to raise inside an action."""
    return Refusal(Problem(what, remedy, where))
