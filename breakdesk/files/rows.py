"""Turn a table into rows whose cells are read and checked, or say everything that is wrong with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from itertools import repeat
from typing import Any

from breakdesk.files.cells import Numbering
from breakdesk.files.headers import Kind, columns_of, folded_heading
from breakdesk.files.many_cards import with_one_card_a_row
from breakdesk.files.problems import PRIVATE_COLUMNS, Problem, Severity, listed
from breakdesk.files.row_checks import check_row, check_rows
from breakdesk.files.row_kinds import CardRow, ClaimRow, HouseRow, MakerRow, ParticipantRow, Row, SpotRow
from breakdesk.files.row_readers import reader_of
from breakdesk.files.tables import Table
from breakdesk.files.unreadable import TwoReadings, Unreadable

_ROW_CLASS: dict[Kind, Callable[..., Row]] = {
    Kind.HOUSE: HouseRow,
    Kind.MAKERS: MakerRow,
    Kind.PARTICIPANTS: ParticipantRow,
    Kind.CHECKLIST: CardRow,
    Kind.SPOTS: SpotRow,
    Kind.CLAIMS: ClaimRow,
}
# In each group one of the columns must be filled.
_NEEDED: dict[Kind, tuple[tuple[str, ...], ...]] = {
    Kind.HOUSE: (("house",),),
    Kind.MAKERS: (("maker",),),
    Kind.PARTICIPANTS: (("participant", "handle"),),
    Kind.CHECKLIST: (("product",), ("card",)),
    Kind.SPOTS: (("break",), ("spot",)),
    Kind.CLAIMS: (("product", "maker"), ("subject",), ("pulled_at",)),
}
_ADD_OR_MATCH = (
    "Add it, with a value in each row; or say which of your columns it is: m on the load screen, --columns on the "
    "command line."
)
_SAY_ONCE = "Or say once how all in the file are meant: m, then f, on the load screen."
_TOTALS = frozenset({"total", "totals", "subtotal", "grandtotal", "sum"})
_ROWS_OF_TOTALS = 3

_Lines = Sequence[int]


def parse_rows(table: Table, house_zone: str, currency: str, today: date) -> tuple[list[Row], list[Problem]]:
    """Read every row of a table.

    `house_zone` is the zone of local times, `currency` holds for amounts without a code, and days after `today` (the
    house's) are warned of. Rows with an error are left out of the result; the file must then not be taken.
    """
    problems: list[Problem] = []
    numbered = with_one_card_a_row(table, _without_totals(table, problems), problems)
    lines = [line for line, _ in numbered]
    texts = _texts_by_column(table, numbered)
    bad: set[int] = set()
    parsed: dict[str, Any] = {}
    for column in columns_of(table.kind):
        reader = reader_of(table.kind, column, house_zone, currency, table.dates)
        if column not in texts:
            parsed[column] = repeat(reader.empty, len(lines))
            continue
        values, unreadable = _read_column(texts[column], reader.read, reader.empty)
        parsed[column] = values
        for position, error in unreadable:
            bad.add(position)
            value = None if column in PRIVATE_COLUMNS else texts[column][position]
            remedy = f"{error.remedy} {_SAY_ONCE}" if isinstance(error, TwoReadings) else error.remedy
            problems.append(Problem(table.file, lines[position], column, value, error.what, remedy))
    problems.extend(_empty_cells(table, lines, texts, bad))
    rows = []
    for position, row in enumerate(_built_rows(table.kind, parsed, texts, lines, problems, table.file)):
        if position in bad:
            continue
        found = check_row(table.file, row, today)
        problems.extend(found)
        if all(problem.severity is Severity.WARNING for problem in found):
            rows.append(row)
    problems.extend(check_rows(table.file, rows))
    return rows, listed(problems)


def _without_totals(table: Table, problems: list[Problem]) -> list[tuple[int, tuple[str, ...]]]:
    """Leave out sums at the end: last rows that begin with a word for a total and lack what a row needs."""
    rows = table.rows
    groups = [set(group) for group in _NEEDED[table.kind]]
    kept = len(rows)
    for line, cells in reversed(rows[-_ROWS_OF_TOTALS:]):
        first = next(cell for cell in cells if cell.strip())
        filled = {column for column, cell in zip(table.columns, cells, strict=True) if cell.strip()}
        beside = {column for column, cell in zip(table.columns, cells, strict=True) if cell.strip() and cell != first}
        is_whole = all(filled & group for group in groups) and any(beside & group for group in groups)
        if folded_heading(first) not in _TOTALS or is_whole:
            break
        kept -= 1
        what = "this row of totals is left out"
        problems.append(Problem(table.file, line, None, first, what, "Nothing to do.", Severity.WARNING))
    return rows if kept == len(rows) else rows[:kept]


def _texts_by_column(table: Table, numbered: list[tuple[int, tuple[str, ...]]]) -> dict[str, list[str]]:
    by_position = list(zip(*(cells for _, cells in numbered), strict=True)) or [()] * len(table.columns)
    return {
        column: list(map(str.strip, by_position[position]))
        for position, column in enumerate(table.columns)
        if column is not None
    }


def _read_column(
    texts: list[str], read: Callable[[str], Any], empty: Any
) -> tuple[list[Any], list[tuple[int, Unreadable]]]:
    """Read each different text once; returns the values, and the positions that cannot be read."""
    if not any(texts):
        return [empty] * len(texts), []
    values: dict[str, Any] = {"": empty}
    unreadable: dict[str, Unreadable] = {}
    for text in dict.fromkeys(texts):
        if not text:
            continue
        try:
            values[text] = read(text)
        except Unreadable as error:
            values[text] = empty
            unreadable[text] = error
    errors = []
    if unreadable:
        errors = [(position, unreadable[text]) for position, text in enumerate(texts) if text in unreadable]
    return list(map(values.__getitem__, texts)), errors


def _empty_cells(table: Table, lines: _Lines, texts: dict[str, list[str]], bad: set[int]) -> Iterator[Problem]:
    """Name what is needed and missing: a column once, an empty cell in each row."""
    for group in _NEEDED[table.kind]:
        name = " or ".join(group)
        present = [texts[column] for column in group if column in texts]
        if not present:
            what = f"a file of {table.kind.value} needs this column" if len(group) == 1 else "one of these is needed"
            yield Problem(table.file, table.header_line, name, None, what, _ADD_OR_MATCH)
            bad.update(range(len(lines)))
            continue
        for position, cells in enumerate(zip(*present, strict=True)):
            if not any(cells):
                yield Problem(table.file, lines[position], name, None, "the cell is empty", "Write the value.")
                bad.add(position)


def _built_rows(
    kind: Kind,
    parsed: dict[str, Any],
    texts: dict[str, list[str]],
    lines: _Lines,
    problems: list[Problem],
    file: str,
) -> Iterator[Row]:
    if kind is Kind.PARTICIPANTS:
        parsed["participant"] = [
            name or handle for name, handle in zip(parsed["participant"], parsed["handle"], strict=True)
        ]
    if "numbered_to" in parsed:
        _settle_numbering(parsed, lines, problems, file)
    columns = [parsed[column] for column in columns_of(kind)]
    if kind is Kind.CLAIMS:
        blank = [""] * len(lines)
        cells = zip(*(texts.get(column, blank) for column in columns_of(kind)), strict=True)
        return map(_ROW_CLASS[kind], *columns, lines, cells)
    return map(_ROW_CLASS[kind], *columns, lines)


def _settle_numbering(parsed: dict[str, Any], lines: _Lines, problems: list[Problem], file: str) -> None:
    """Take serial and run from wherever they were written: a print run of `7/25` names the serial, too."""
    runs: list[Numbering] = list(parsed["numbered_to"])
    serials: list[Numbering] = list(parsed.get("serial", repeat(Numbering(), len(runs))))
    for position, (run, serial) in enumerate(zip(runs, serials, strict=True)):
        for what, one, other in (("run", run.run, serial.run), ("serial", run.serial, serial.serial)):
            if one is not None and other is not None and one != other:
                message = f"numbered_to and serial disagree about the {what}, {one} and {other}; the first is taken"
                remedy = "Correct the one that is wrong."
                problems.append(Problem(file, lines[position], "serial", None, message, remedy, Severity.WARNING))
    parsed["numbered_to"] = [run.run or serial.run for run, serial in zip(runs, serials, strict=True)]
    if "serial" in parsed:
        parsed["serial"] = [serial.serial or run.serial for run, serial in zip(runs, serials, strict=True)]
