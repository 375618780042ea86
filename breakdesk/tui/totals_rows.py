"""Totals as rows: a name, how many claims, their value, how many have none, and a bar."""

from __future__ import annotations

from typing import Final

from breakdesk.desk.totals import TotalsView
from breakdesk.rules.totals import Line, Movement, Totals
from breakdesk.rules.wording import counted
from breakdesk.tui.widgets.bars import bar_line
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.wording import values_words

SHORTEST_BAR, LONGEST_BAR = 10, 100
SHORTEST_NAME, LONGEST_NAME = 16, 34
BESIDE_THE_BAR: Final = 52
"""Cells that the columns between name and bar take, with all gaps and margins."""
GROUPINGS: Final = {
    "band": "days old",
    "maker": "maker",
    "account": "maker and account",
    "break": "break",
    "months": "end of month",
    "flow": "month",
}
"""What the rows may stand for, and how their column is called."""


def name_width(width: int) -> int:
    """How long a name may be on a screen of so many cells."""
    return max(SHORTEST_NAME, min(LONGEST_NAME, width // 4))


def bar_width(width: int) -> int:
    """How long the longest bar is on a screen of so many cells."""
    return min(LONGEST_BAR, max(SHORTEST_BAR, width - BESIDE_THE_BAR - name_width(width)))


def total_columns(grouping: str, width: int) -> list[Column]:
    """The columns of one side's totals."""
    return [
        Column(title=GROUPINGS[grouping].capitalize(), width=name_width(width), stretch=1),
        Column(title="Claims", width=6, right=True),
        Column(title="Value", width=24, right=True, priority=2),
        Column(title="No value", width=8, right=True, priority=4, quiet=True),
        Column(title="", width=bar_width(width), priority=3),
    ]


def total_rows(view: TotalsView, side: str, grouping: str, width: int) -> list[Row]:
    """The rows of one side, `house` or `makers`."""
    if grouping == "months":
        lines = [_month_line(movement) for movement in getattr(view, f"{side}_months")]
    elif grouping == "flow":
        lines = list(view.went if side == "house" else view.came)
    else:
        totals: Totals = getattr(view, side)
        lines = list(getattr(totals, f"by_{grouping}"))
    most = max((line.count for line in lines), default=0)
    return [_row(line, most, bar_width(width)) for line in lines]


def _month_line(movement: Movement) -> Line:
    name = f"{movement.first:%b %Y} +{movement.added.count} −{movement.closed.count}"
    return Line(name, movement.closing.claims)


def _row(line: Line, most: int, width: int) -> Row:
    value = values_words(line.value.items())
    bar = bar_line(line.count, most, width)
    cells = (line.name, f"{line.count:,}", value, f"{line.no_value:,}" if line.no_value else "–", bar)
    return Row(line, cells, "plain" if line.count else "quiet")


def whole_words(side: Totals) -> str:
    """One side's total in a sentence."""
    line = side.whole
    who = "The house owes people" if side.side == "house" else "Makers owe the house"
    claims = counted(line.count, "card") if line.count else "nothing"
    value = f": {values_words(line.value.items())}" if line.value else ""
    has = "has" if line.no_value == 1 else "have"
    without = f"; {line.no_value:,} {has} no value" if line.no_value else ""
    return f"{who} {claims}{value}{without}."


def flow_words(side: str) -> str:
    """What the rows of cards that came or went are about."""
    return "Cards that went to people, by month." if side == "house" else "Cards that came from makers, by month."
