"""One row of the table of measurements, and how figures become rows."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Row:
    """What was measured, its goal, what came out, and whether the goal is reached; None where there is no goal."""

    what: str
    goal: str
    measured: str
    reached: bool | None

    def written(self) -> str:
        """The row as a line of a Markdown table."""
        word = {True: "yes", False: "**no**", None: ""}[self.reached]
        return f"| {self.what} | {self.goal} | {self.measured} | {word} |"


def p95(times: Sequence[float]) -> float:
    """The 95th percentile: the smallest that at least 95 in 100 do not exceed."""
    ordered = sorted(times)
    return ordered[max(0, -(-len(ordered) * 95 // 100) - 1)]


def median(times: Sequence[float]) -> float:
    """The middle one."""
    return statistics.median(times)


def milliseconds(work: Callable[[], object], rounds: int) -> list[float]:
    """How long something took, each time it was done."""
    times = []
    for _ in range(rounds):
        began = time.perf_counter()
        work()
        times.append(1000 * (time.perf_counter() - began))
    return times


def ratio_row(what: str, most: float, ours: Sequence[float], theirs: Sequence[float], note: str = "") -> Row:
    """A row about how many times as long ours takes, by the medians of both."""
    times = median(ours) / median(theirs)
    measured = f"{times:.2f} times ({median(ours):.1f} ms against {median(theirs):.1f} ms){note}"
    return Row(what, f"at most {most:g} times", measured, times <= most)
