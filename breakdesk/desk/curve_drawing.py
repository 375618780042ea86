"""Draws an outlook's curve with its band in plain characters, for any terminal and any pipe."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from operator import attrgetter

from breakdesk.rules.outlook import Curve, Forecast, Step

CURVE, BAND, HERE = "#", ":", "."
TOO_FAR = "the data do not reach that far"
LEAST_WIDTH, LEAST_HEIGHT = 24, 5
_MARGIN = len("100 |")


@dataclass(frozen=True, slots=True)
class Mark:
    """A day that is marked on the axis of a curve by a sign; `words` say what it is."""

    sign: str
    day: int | None
    """Days since submission; None where the data do not reach."""
    words: str


def marks_of(outlook: Forecast) -> tuple[Mark, ...]:
    """Where a claim that waits stands on its curve, and by when half and 80 in 100 of such claims came."""
    waited = outlook.waited_days

    def day_after(days: int | None) -> int | None:
        return None if days is None else waited + days

    return (
        Mark("1", waited, "where it stands now"),
        Mark("2", day_after(outlook.half_within_days), "half of those that waited as long had come"),
        Mark("3", day_after(outlook.most_within_days), "80 in 100 of them had come"),
    )


def draw_curve(curve: Curve, width: int = 72, height: int = 11, marks: Sequence[Mark] = ()) -> list[str]:
    """The share of claims still waiting (in 100, upwards) by days since submission (to the right).

    The band of the 95 % limits stands around the curve. No lines where nothing was followed for a day. A curve ends
    where the data end. Marks stand on the axis; from the first of them a dotted line goes up.
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
    axis = ["-"] * columns
    for place, mark in enumerate(marks):
        if mark.day is None or mark.day > curve.last_day:
            continue
        column = round(mark.day * (columns - 1) / curve.last_day)
        axis[column] = mark.sign
        for cells in grid if place == 0 else ():
            cells[column] = HERE if cells[column] == " " else cells[column]
    labelled = [f"{_label(row, last_row)} |{''.join(cells)}".rstrip() for row, cells in enumerate(grid)]
    return [*labelled, f"    +{''.join(axis)}", _days_line(curve.last_day, columns)]


def legend() -> str:
    """What the characters mean."""
    return (
        f"Of 100 claims, how many still wait, by days since submission. {CURVE} the estimate (Kaplan-Meier), "
        f"{BAND} its 95 % limits (log-log, Greenwood's variance)."
    )


def marks_legend(marks: Sequence[Mark], curve: Curve) -> list[str]:
    """What each mark on the axis means, a line each; those that the data do not reach stand on no axis."""
    last = curve.last_day or 0
    return [
        f"{mark.sign}  {mark.words}: {TOO_FAR}"
        if mark.day is None or mark.day > last
        else f"{mark.sign}  {mark.words}: day {mark.day:,}"
        for mark in marks
    ]


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
