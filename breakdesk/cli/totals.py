"""The commands `totals` and `year`: what the house owes, what it is owed, and how a year came to that."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from breakdesk.cli.common import fail, json_option, with_desk
from breakdesk.cli.output import say, say_json, say_table
from breakdesk.cli.wording import day_words, value_words
from breakdesk.rules.money import format_money
from breakdesk.rules.wording import counted

if TYPE_CHECKING:
    from breakdesk.desk.desk import Desk
    from breakdesk.rules.totals import Line, Movement, Totals
    from breakdesk.rules.year_sheet import YearSheet

BY = ("band", "maker", "account", "participant", "break")


@click.command("totals")
@click.option("--by", type=click.Choice(BY), help="Only this grouping, with the tags behind each line.")
@with_desk
def totals_command(desk: Desk, by: str | None) -> None:
    """Say what the house owes people and what makers owe the house: by age, maker, account, participant and break."""
    from breakdesk.desk.totals import totals
    from breakdesk.rules.maker_outlook import expected_words

    view = totals(desk)
    titles = ((view.house, "The house owes people"), (view.makers, "Makers owe the house"))
    for side, title in titles:
        say(f"{title} {_words(side.whole)}, at the end of {day_words(view.day)}.")
        for name in (by,) if by else BY:
            say()
            _say_group(side, name, tags=by is not None)
        say()
    if by:
        return
    for movements, (_, title) in zip((view.house_months, view.makers_months), titles, strict=True):
        say(f"{title}, month by month")
        _say_months(movements)
        say()
    _say_flow("cards came from makers", view.came)
    say()
    _say_flow("cards went to people", view.went)
    say()
    words = expected_words(view.expected)
    if words:
        say(words)


def _say_group(side: Totals, name: str, *, tags: bool) -> None:
    lines: tuple[Line, ...] = getattr(side, f"by_{name}")
    heading = "days old" if name == "band" else name
    rows = [
        (
            line.name,
            f"{line.count:,}",
            value_words(line.value, line.no_value),
            *((" ".join(line.tags),) if tags else ()),
        )
        for line in lines
    ]
    say_table((heading, "claims", "value", *(("tags",) if tags else ())), rows, right=(1,))


def _say_months(movements: Iterable[Movement]) -> None:
    headings = ("month", "opening", "added", "closed", "closing", "value at the end")
    rows = [
        (
            f"{movement.first:%b %Y}",
            f"{movement.opening.count:,}",
            f"{movement.added.count:,}",
            f"{movement.closed.count:,}",
            f"{movement.closing.count:,}",
            value_words(movement.closing.value, movement.closing.no_value),
        )
        for movement in movements
    ]
    say_table(headings, rows, right=range(1, 5))


def _say_flow(title: str, lines: Iterable[Line]) -> None:
    rows = [(line.name, f"{line.count:,}", value_words(line.value, line.no_value)) for line in lines]
    say_table(("month", title, "value"), rows, right=(1,))


def _words(line: Line) -> str:
    words = value_words(line.value, line.no_value)
    return f"{counted(line.count, 'card')}{f' ({words})' if words else ''}"


@click.command("year")
@click.argument("number", metavar="YEAR", type=int)
@click.option("--out", type=click.Path(path_type=Path, dir_okay=False), metavar="FILE.xlsx", help="Write a workbook.")
@click.option("--lists", is_flag=True, help="Print the claims behind each line, too.")
@json_option
@with_desk
def year_command(desk: Desk, number: int, out: Path | None, lists: bool, as_json: bool) -> None:
    """Write the sheet of a YEAR: opening, added, closed by how, closing, cash, postage, cards bought out and held.

    Every line is backed by the list of its claims: with --lists, in the workbook and in the JSON. The figures help
    with books and taxes; they are no tax advice.
    """
    from breakdesk.desk.problems import Problem
    from breakdesk.desk.totals import year
    from breakdesk.files.year_sheets import year_json, year_workbook

    view = year(desk, number)
    if isinstance(view, Problem):
        fail(view.sentence)
    if out is not None:
        from breakdesk.files.writing import write_xlsx

        if out.suffix.lower() != ".xlsx":
            raise click.UsageError("The file is a workbook; let its name end in .xlsx.")
        write_xlsx(out, year_workbook(view.sheet, view.names))
    if as_json:
        say_json(year_json(view.sheet))
        return
    _say_year(view.sheet, lists=lists)
    if out is not None:
        say(f"Written to {out}, with the claims behind each line.")


def _say_year(sheet: YearSheet, *, lists: bool) -> None:
    from breakdesk.files.year_sheets import SIDE_WORDS, card_lines, money_lines, movement_lines

    ended = "" if (sheet.last.month, sheet.last.day) == (12, 31) else f", up to {day_words(sheet.last)}"
    say(f"The year {sheet.year}{ended}. Values are those that the claims have now.")
    for movement in (sheet.house, sheet.makers):
        say()
        _say_lines(SIDE_WORDS[movement.side], movement_lines(movement), lists=lists)
    say()
    _say_lines("cards of the house", card_lines(sheet), lists=lists)
    say()
    money = [
        (line.name, f"{len(line.payments):,}", value_words(line.sums), f"{line.without_amount or ''}")
        for line in money_lines(sheet)
    ]
    say_table(("money", "payments", "sum", "without amount"), money, right=(1, 3))
    payments = [
        (line.name, payment)
        for line in money_lines(sheet)
        for payment in sorted(line.payments, key=lambda item: item.day)
    ]
    if lists and payments:
        say()
        rows = [
            (
                name,
                day_words(payment.day),
                " ".join(payment.tags),
                format_money(payment.money) if payment.money else "?",
            )
            for name, payment in payments
        ]
        say_table(("payment", "day", "claims", "amount"), rows, right=(3,))


def _say_lines(title: str, lines: Iterable[tuple[str, Line]], *, lists: bool) -> None:
    """The lines of one table; with the tags behind each where lists are wanted."""
    rows = [
        (name, f"{line.count:,}", value_words(line.value, line.no_value), *((" ".join(line.tags),) if lists else ()))
        for name, line in lines
    ]
    say_table((title, "claims", "value", *(("tags",) if lists else ())), rows, right=(1,))
