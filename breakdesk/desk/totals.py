"""The two totals of what is owed, month by month, what is to be expected, and the year sheet."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breakdesk.desk.desk import Desk
from breakdesk.desk.outlook import outlook
from breakdesk.desk.problems import Problem
from breakdesk.rules.claim import Claim
from breakdesk.rules.debts import Debt, debts_of
from breakdesk.rules.maker_outlook import total_expected
from breakdesk.rules.outlook import ExpectedArrivals
from breakdesk.rules.totals import Line, Movement, Names, Totals, by_month, months, totals_of
from breakdesk.rules.year_sheet import YearSheet, year_sheet
from breakdesk.store.known import known_claims, read_names, read_postage
from breakdesk.store.parties import read_house

FIRST_YEAR = 1990


@dataclass(frozen=True, slots=True, kw_only=True)
class TotalsView:
    """What is owed at the end of a day, both sides, and how it came to that."""

    day: date
    house: Totals
    makers: Totals
    house_months: tuple[Movement, ...]
    makers_months: tuple[Movement, ...]
    came: tuple[Line, ...]
    """The cards that came from makers, by month."""
    went: tuple[Line, ...]
    """What was shipped to people, by month."""
    expected: tuple[ExpectedArrivals, ...]


def totals(desk: Desk) -> TotalsView:
    """The totals as of the desk's instant."""
    day = read_house().today(desk.clock.as_of())
    debts: list[Debt] = []
    came: list[tuple[date, Claim]] = []
    went: list[tuple[date, Claim]] = []
    for claim in known_claims(desk.database, day):
        debts += debts_of(claim)
        if claim.in_hand_on is not None:
            came.append((claim.in_hand_on, claim))
        if claim.shipped_on is not None:
            went.append((claim.shipped_on, claim))
    house, makers = totals_of(debts, day, read_names(desk.database))
    return TotalsView(
        day=day,
        house=house,
        makers=makers,
        house_months=months(debts, "house", day),
        makers_months=months(debts, "makers", day),
        came=by_month(came, day),
        went=by_month(went, day),
        expected=total_expected(outlook(desk)),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class YearView:
    """A year sheet, and what the people and makers in it are called."""

    sheet: YearSheet
    names: Names


def year(desk: Desk, number: int) -> YearView | Problem:
    """The sheet of a calendar year of the house; of the present year up to the desk's instant."""
    today = read_house().today(desk.clock.as_of())
    if not FIRST_YEAR <= number <= today.year:
        return Problem(f"There is no sheet of {number}.", f"Name a year from {FIRST_YEAR} to {today.year}.")
    last = min(date(number, 12, 31), today)
    claims = list(known_claims(desk.database, today))
    debts: list[Debt] = [debt for claim in claims for debt in debts_of(claim)]
    postage = read_postage(desk.database, date(number, 1, 1), last)
    return YearView(sheet=year_sheet(claims, debts, postage, last), names=read_names(desk.database))
