"""A year sheet as a workbook and as JSON: the figures, and behind each of them the list of its claims."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

from breakdesk.files.writing import Cell, SheetToWrite
from breakdesk.rules.claim import Claim
from breakdesk.rules.money import minor_digits
from breakdesk.rules.totals import Line, Movement, Names, participant_name
from breakdesk.rules.year_sheet import MoneyLine, Payment, YearSheet

SIDE_WORDS = {"house": "the house owes people", "makers": "makers owe the house"}
_LIST_HEADER = (
    "side", "line", "tag", "maker", "participant", "break", "subject", "pull day", "value", "currency",
)  # fmt: skip


def movement_lines(movement: Movement) -> list[tuple[str, Line]]:
    """The lines of one side in their order: opening, added, closed and how, closing."""
    ways = [(f"closed: {line.name.replace('_', ' ')}", line) for line in movement.closed_by_how]
    return [
        ("opening", movement.opening),
        ("added", movement.added),
        ("closed", movement.closed),
        *ways,
        ("closing", movement.closing),
    ]


def card_lines(sheet: YearSheet) -> list[tuple[str, Line]]:
    """The lines about cards that the house bought out."""
    return [("bought out in the year", sheet.bought_out), ("bought out and held at the end", sheet.held)]


def money_lines(sheet: YearSheet) -> tuple[MoneyLine, ...]:
    """The lines about money that left the house or was promised."""
    return sheet.cash_paid, sheet.credited, sheet.postage


def year_workbook(sheet: YearSheet, names: Names) -> list[SheetToWrite]:
    """Three sheets: the year, the claims behind each line, and the payments behind each sum."""
    return [
        SheetToWrite(
            f"Year {sheet.year}", ("side", "line", "claims", "value", "currency", "no value"), _figures(sheet)
        ),
        SheetToWrite("Claims", _LIST_HEADER, _lists(sheet, names)),
        SheetToWrite("Payments", ("line", "day", "tags", "amount", "currency"), _payments(sheet)),
    ]


def _sides(sheet: YearSheet) -> Iterator[tuple[str, str, Line]]:
    for movement in (sheet.house, sheet.makers):
        for name, line in movement_lines(movement):
            yield SIDE_WORDS[movement.side], name, line
    for name, line in card_lines(sheet):
        yield "cards of the house", name, line


def _figures(sheet: YearSheet) -> Iterator[tuple[Cell, ...]]:
    for side, name, line in _sides(sheet):
        yield from _figure_rows(side, name, line.count, line.value, line.no_value)
    for money in money_lines(sheet):
        yield from _figure_rows("money", money.name, len(money.payments), money.sums, money.without_amount)


def _figure_rows(side: str, name: str, count: int, sums: Mapping[str, int], none: int) -> Iterator[tuple[Cell, ...]]:
    """One row a currency; the counts stand in the first alone, so that a column adds up."""
    rows = list(sums.items()) or [("", 0)]
    for position, (currency, minor) in enumerate(rows):
        first = position == 0
        amount = decimal_amount(minor, currency) if currency else None
        yield side, name, count if first else None, amount, currency or None, none if first else None


def _lists(sheet: YearSheet, names: Names) -> Iterator[tuple[Cell, ...]]:
    for side, name, line in _sides(sheet):
        for claim in sorted(line.claims, key=lambda claim: claim.tag):
            yield (side, name, *_claim_cells(claim, names))


def _claim_cells(claim: Claim, names: Names) -> tuple[Cell, ...]:
    has_value = claim.value is not None and claim.currency is not None
    return (
        claim.tag,
        names.makers.get(claim.maker_id) if claim.maker_id is not None else None,
        participant_name(claim, names),
        names.breaks.get(claim.break_id) if claim.break_id is not None else None,
        claim.subject,
        claim.pull_day,
        decimal_amount(claim.value or 0, claim.currency or "") if has_value else None,
        claim.currency,
    )


def _payments(sheet: YearSheet) -> Iterator[tuple[Cell, ...]]:
    for line in money_lines(sheet):
        for payment in line.payments:
            money = payment.money
            amount, currency = (None, None) if money is None else (
                decimal_amount(money.minor, money.currency), money.currency,
            )  # fmt: skip
            yield line.name, payment.day, ";".join(payment.tags), amount, currency


def decimal_amount(minor: int, currency: str) -> Decimal:
    """Minor units as the amount that people write, with all decimals of the currency."""
    return Decimal(minor).scaleb(-minor_digits(currency))


def year_json(sheet: YearSheet) -> dict[str, Any]:
    """The object that `year YEAR --json` prints; amounts are in minor units by currency."""
    return {
        "year": sheet.year,
        "last": sheet.last.isoformat(),
        "house": {name: _line_json(line) for name, line in movement_lines(sheet.house)},
        "makers": {name: _line_json(line) for name, line in movement_lines(sheet.makers)},
        "cards": {name: _line_json(line) for name, line in card_lines(sheet)},
        "money": {line.name: _money_json(line) for line in money_lines(sheet)},
    }


def _line_json(line: Line) -> dict[str, Any]:
    return {"claims": line.count, "value": line.value, "no_value": line.no_value, "tags": list(line.tags)}


def _money_json(line: MoneyLine) -> dict[str, Any]:
    return {
        "sums": line.sums,
        "without_amount": line.without_amount,
        "payments": [_payment_json(payment) for payment in line.payments],
    }


def _payment_json(payment: Payment) -> dict[str, Any]:
    money = payment.money
    return {
        "day": payment.day.isoformat(),
        "tags": list(payment.tags),
        "amount": money.minor if money else None,
        "currency": money.currency if money else None,
    }
