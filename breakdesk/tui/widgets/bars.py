"""Bars, in proportion to the longest of them."""

from __future__ import annotations


def bar_line(amount: int, most: int, width: int) -> str:
    """Return a bar in proportion to the longest; whatever is not nothing has at least half a cell."""
    if amount <= 0 or most <= 0:
        return ""
    halves = max(1, round(2 * width * amount / most))
    return "━" * (halves // 2) + "╸" * (halves % 2)
