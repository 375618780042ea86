"""Draws an outlook's curve with its band in plain characters, for any terminal and any pipe."""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction
from operator import attrgetter

from breakdesk.rules.outlook import Curve, Step

CURVE, BAND = "#", ":"
LEAST_WIDTH, LEAST_HEIGHT = 24, 5
_MARGIN = len("100 |")


def draw_curve(curve: Curve, width: int = 72, height: int = 11) -> list[str]:
    """The share of claims still waiting (in 100, upwards) by days since submission (to the right).

    The band of the 95 % limits stands around the curve. No lines where nothing was followed for a day. A curve ends
    where the data end.
    """
    if not curve.last_day:
        return []
    width, height = max(width, LEAST_WIDTH), max(height, LEAST_HEIGHT)
    columns = width - _MARGIN
    last_row = height - 1
    grid = [[" "] * columns for _ in range(height)]
    for column in range(columns):
        step = _step_on(curve, curve.last_day * column // (columns - 1))
        share = float(step.survival) if step is not None else 1.0
        low, high = (step.low, step.high) if step is not None else (None, None)
        if low is not None and high is not None:
            for row in range(_row(high, last_row), _row(low, last_row) + 1):
                grid[row][column] = BAND
        grid[_row(share, last_row)][column] = CURVE
    labelled = [f"{_label(row, last_row)} |{''.join(cells)}".rstrip() for row, cells in enumerate(grid)]
    return [*labelled, f"    +{'-' * columns}", _days_line(curve.last_day, columns)]


def legend() -> str:
    """What the characters mean."""
    return (
        f"Of 100 claims, how many still wait, by days since submission. {CURVE} the estimate (Kaplan-Meier), "
        f"{BAND} its 95 % limits (log-log, Greenwood's variance)."
    )


def _step_on(curve: Curve, day: int) -> Step | None:
    place = bisect_right(curve.steps, day, key=attrgetter("day"))
    return curve.steps[place - 1] if place else None


def _row(share: float, last_row: int) -> int:
    return round((1 - share) * last_row)


def _label(row: int, last_row: int) -> str:
    if row not in (0, last_row // 2, last_row):
        return "   "
    return f"{round(Fraction(last_row - row, last_row) * 100):3d}"


def _days_line(last_day: int, columns: int) -> str:
    middle, last = str(last_day // 2), f"{last_day} days"
    line = [" "] * (columns + _MARGIN)
    for text, start in (("0", _MARGIN), (middle, _MARGIN + columns // 2), (last, _MARGIN + columns - len(last))):
        line[start : start + len(text)] = text
    return "".join(line).rstrip()
