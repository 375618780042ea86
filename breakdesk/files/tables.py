"""Read a CSV or XLSX file into tables of text: what each is, what its columns mean, its rows and lines."""

from __future__ import annotations

import warnings
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import chain, zip_longest
from pathlib import Path

from breakdesk.files.column_map import ColumnMap, fits, mapped_header
from breakdesk.files.csv_rows import read_csv
from breakdesk.files.headers import Header, Kind, columns_of, kind_of, read_header
from breakdesk.files.limits import MOST_FILE_BYTES, MOST_ROWS
from breakdesk.files.numbered_rows import CannotRead, NumberedRow, Sheet
from breakdesk.files.plain_text import shown_in_a_line
from breakdesk.files.problems import Problem, Severity, listed

_ROWS_BEFORE_A_HEADER = 20
_SAVE_WITH_HEADER = "Save the table again, with its header in the first row."
_KNOWN_KINDS = (
    "Claims have a column pulled_at, spots a column spot, a checklist a column card, participants a column handle or "
    "address, makers a column maker, the house a column house. Other headings are matched with ours: m on the load "
    "screen, --columns on the command line."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """One table as it was written.

    `columns` has our name for each column of the file, None where we have none. `rows` holds the line on which each
    row begins and its cells as text, as many as there are columns; empty rows are left out. `dates` says how days in
    figures that have two readings are meant.
    """

    file: str
    kind: Kind
    headings: tuple[str, ...]
    columns: tuple[str | None, ...]
    header_line: int
    rows: list[tuple[int, tuple[str, ...]]]
    dates: str = ""


@dataclass(frozen=True, slots=True)
class Reading:
    """What was read of one file, and everything that is wrong with it so far."""

    tables: tuple[Table, ...]
    problems: tuple[Problem, ...]


def read_tables(path: Path, column_map: ColumnMap | None = None) -> Reading:
    """Read a file; a workbook can hold several tables, one a sheet. A match of columns counts where it fits.

    Never raises for what stands in the file or for a file that cannot be opened: that is a problem with its remedy.
    """
    try:
        return read_content(path.name, content_of(path), column_map)
    except CannotRead as end:
        return Reading((), (_end_of_reading(path.name, end),))


def content_of(path: Path) -> bytes:
    """What stands in a file. Raises CannotRead for one that cannot be opened or is too large."""
    try:
        if path.stat().st_size > MOST_FILE_BYTES:
            what = f"the file is larger than {MOST_FILE_BYTES // 1024 // 1024} MB"
            raise CannotRead(what, "Split it into several files.")
        return path.read_bytes()
    except FileNotFoundError:
        raise CannotRead("there is no such file", "Check the folder and the spelling of its name.") from None
    except IsADirectoryError:
        raise CannotRead("this is a folder, not a file", "Name the files in it.") from None
    except OSError as error:
        raise CannotRead(f"the file cannot be read ({error.strerror})", "Close it elsewhere, or copy it.") from None


def read_content(name: str, content: bytes, column_map: ColumnMap | None = None) -> Reading:
    """Read what stands in a file called `name`, as `read_tables` does."""
    try:
        with warnings.catch_warnings():
            # The library that reads workbooks warns of what it leaves out: styles, pictures and the like.
            warnings.simplefilter("ignore")
            return _reading(name, sheets_of(content), column_map)
    except CannotRead as end:
        return Reading((), (_end_of_reading(name, end),))


def sheets_of(content: bytes) -> Iterable[Sheet]:
    """The sheets of a file, rows to be read once. Raises CannotRead for what is no table at all."""
    if not content.strip():
        raise CannotRead("the file is empty", _SAVE_WITH_HEADER)
    if content.startswith(b"PK\x03\x04"):
        # Only a workbook needs the library that reads them, and it takes a while to load.
        from breakdesk.files.xlsx_rows import read_xlsx

        return read_xlsx(content)
    if content.startswith(b"\xd0\xcf\x11\xe0"):
        what = "this is a workbook in an old format, or one with a password"
        raise CannotRead(what, "Save it as an Excel workbook (.xlsx) without a password, or as CSV UTF-8.")
    return [read_csv(content)]


def _end_of_reading(name: str, end: CannotRead) -> Problem:
    return Problem(name, end.line, None, None, end.what, end.remedy)


def _reading(name: str, sheets: Iterable[Sheet], column_map: ColumnMap | None) -> Reading:
    tables: list[Table] = []
    problems: list[Problem] = []
    without_header: list[tuple[str, int]] = []
    for sheet in sheets:
        file = f"{name}, sheet {sheet.title}" if sheet.title else name
        try:
            above, header, rows = _up_to_header(sheet.rows, column_map)
            if header is not None:
                tables.append(_table(file, above, header, rows, problems, column_map))
            elif above:
                without_header.append((file, above[0][0]))
        except CannotRead as end:
            problems.append(_end_of_reading(file, end))
    what, severity = "there is no header that says what this is", Severity.ERROR
    if tables:
        what, severity = "this sheet is left out, because no header says what it is", Severity.WARNING
    # What stands there is not shown: it may be a row of claims with their codes.
    for file, line in without_header:
        problems.append(Problem(file, line, None, None, what, _KNOWN_KINDS, severity))
    if not tables and not problems:
        problems.append(Problem(name, None, None, None, "the file is empty", _SAVE_WITH_HEADER))
    return Reading(tuple(tables), tuple(listed(problems)))


def _is_blank(cells: list[str]) -> bool:
    text = "".join(cells)
    return not text or text.isspace()


def _up_to_header(
    rows: Iterator[NumberedRow], column_map: ColumnMap | None
) -> tuple[list[NumberedRow], NumberedRow | None, Iterator[NumberedRow]]:
    """Take rows up to the first that is a known header; returns the filled rows above it, the header, and the rest."""
    above: list[NumberedRow] = []
    for line, cells in rows:
        if _is_blank(cells):
            continue
        headings = _with_headings_above(line, _without_empty_end(cells), above)
        if column_map is not None and fits(column_map, headings):
            return above, (line, headings), rows
        if kind_of(cells) is not None:
            following = next(rows, None)
            rest = rows if following is None else chain([following], rows)
            if following is None or following[0] != line + 1:
                return above, (line, headings), rest
            lower = _with_headings_above(line + 1, _without_empty_end(following[1]), [(line, headings)])
            if _says_more(lower, headings, following[1]):
                return [*above, (line, cells)], (line + 1, lower), rows
            return above, (line, headings), rest
        above.append((line, cells))
        if len(above) == _ROWS_BEFORE_A_HEADER:
            break
    return above, None, rows


def _says_more(lower: list[str], upper: list[str], own: list[str]) -> bool:
    """Whether two lines together are the header; `own` are the cells of the second, of which a row has no headings."""
    known = _known(lower)
    in_second = sum(is_known and bool(cell.strip()) for is_known, cell in zip(known, own, strict=False))
    return sum(known) > sum(_known(upper)) and in_second > 1


def _known(headings: list[str]) -> list[bool]:
    """Which of the headings mean a column of ours."""
    header = read_header(headings)
    return [] if header is None else [column is not None for column in header.columns]


def _with_headings_above(line: int, headings: list[str], above: list[NumberedRow]) -> list[str]:
    """A heading merged over two lines stands in the upper one, and one merged over several columns above them all."""
    if not above or above[-1][0] != line - 1:
        return headings
    upper = _without_empty_end(above[-1][1])
    pairs = zip_longest(headings, upper, fillvalue="")
    return [heading if heading.strip() else higher for heading, higher in pairs]


def _without_empty_end(cells: list[str]) -> list[str]:
    width = len(cells)
    while width and not cells[width - 1].strip():
        width -= 1
    return cells[:width]


def _table(
    file: str,
    above: list[NumberedRow],
    heading_row: NumberedRow,
    rows: Iterator[NumberedRow],
    problems: list[Problem],
    column_map: ColumnMap | None,
) -> Table:
    header_line, headings = heading_row
    if column_map is not None and not fits(column_map, headings):
        column_map = None
    header = read_header(headings) if column_map is None else mapped_header(column_map, headings)
    assert header is not None, "kind_of has found it"
    if above:
        what = "the lines above the header are left out"
        remedy = "Nothing to do if they are only a title."
        problems.append(
            Problem(file, above[0][0], None, ", ".join(_without_empty_end(above[0][1])), what, remedy, Severity.WARNING)
        )
    problems.extend(_header_problems(file, header_line, header))
    table = Table(
        file=file,
        kind=header.kind,
        headings=tuple(headings),
        columns=header.columns,
        header_line=header_line,
        rows=[],
        dates="" if column_map is None else column_map.dates.value,
    )
    _fill(table, rows, problems)
    return table


def _header_problems(file: str, line: int, header: Header) -> Iterator[Problem]:
    for column, first, second in header.doubled:
        what = f'two columns both mean {column}, "{shown_in_a_line(first)}" and this one'
        yield Problem(file, line, column, second, what, "Delete one, or give it another heading.")
    if header.unknown:
        names = "; ".join(header.unknown)
        what = f"columns that are not known for {header.kind.value} are left out"
        known = ", ".join(columns_of(header.kind))
        yield Problem(file, line, None, names, what, f"Known are: {known}.", Severity.WARNING)


def _fill(table: Table, rows: Iterator[NumberedRow], problems: list[Problem]) -> None:
    width = len(table.columns)
    filled = table.rows
    try:
        for line, cells in rows:
            if _is_blank(cells):
                continue
            if len(cells) > width:
                if not _is_blank(cells[width:]):
                    what = f"the row has {len(_without_empty_end(cells))} cells, but the header only {width} columns"
                    remedy = "Add the missing heading, or put a cell with a separator in it into quotes."
                    problems.append(Problem(table.file, line, None, None, what, remedy))
                del cells[width:]
            elif len(cells) < width:
                cells.extend([""] * (width - len(cells)))
            filled.append((line, tuple(cells)))
            if len(filled) > MOST_ROWS:
                raise CannotRead(f"there are more than {MOST_ROWS:,} rows", "Split the file.", line)
    except CannotRead as end:
        problems.append(_end_of_reading(table.file, end))
