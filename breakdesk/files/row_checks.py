"""What cannot be true within a row, or of the rows of a file together."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date, timedelta
from operator import attrgetter

from breakdesk.files.problems import Problem, Severity
from breakdesk.files.row_kinds import ClaimRow, HouseRow, MakerRow, ParticipantRow, Row, SpotRow
from breakdesk.rules.names import folded
from breakdesk.rules.office import check_hours, parse_hour
from breakdesk.rules.terms import MAKER_DEFAULTS

# Of each pair the first cannot come after the second. Asks are days of the maker, so a pull on the same night may be a
# day ahead of one; months lie between a submission and an ask.
_IN_ORDER = (
    ("pulled_at", "submitted_on", "it was submitted before it was pulled"),
    ("pulled_at", "refused_on", "it was refused before it was pulled"),
    ("pulled_at", "in_hand_on", "it came before it was pulled"),
    ("pulled_at", "shipped_on", "it was shipped before it was pulled"),
    ("pulled_at", "closed_on", "it was closed before it was pulled"),
    ("pulled_at", "last_told_on", "the participant was told before it was pulled"),
    ("submitted_on", "last_asked_on", "the maker was asked before it was submitted"),
    ("submitted_on", "refused_on", "it was refused before it was submitted"),
    ("submitted_on", "in_hand_on", "it came before it was submitted"),
    ("in_hand_on", "shipped_on", "it was shipped before it was in hand"),
)
FAR_AHEAD = timedelta(days=366)
"""What has happened cannot lie so far ahead: it is a slip of the pen, not a clock or a zone."""
_DELIVERED = (("shipped_on", "closed_on", "it was delivered before it was shipped"),)
_KEPT = (("in_hand_on", "closed_on", "it was kept before it was in hand"),)
# In an order that keeps every pair above: a claim whose days do not fall in it has nothing out of order.
_PAST_DAYS = (
    "submitted_on",
    "refused_on",
    "last_asked_on",
    "last_told_on",
    "in_hand_on",
    "shipped_on",
    "closed_on",
)
_past_days = attrgetter(*_PAST_DAYS)


def check_row(file: str, row: Row, today: date) -> list[Problem]:
    """Return what cannot be true of one row (errors) and what is unlikely (warnings); `today` is the house's."""
    if isinstance(row, ClaimRow):
        return list(_claim_problems(file, row, today))
    if isinstance(row, MakerRow):
        return list(_maker_problems(file, row))
    if isinstance(row, ParticipantRow):
        return list(_participant_problems(file, row, today))
    return []


def _claim_problems(file: str, row: ClaimRow, today: date) -> Iterator[Problem]:
    known = zip(_PAST_DAYS, _past_days(row), strict=True)
    days = {"pulled_at": row.pulled_at.day, **{column: day for column, day in known if day is not None}}
    in_turn = list(days.values())
    # Nearly every row is in order; only the others are looked at pair by pair.
    if in_turn != sorted(in_turn):
        yield from _disorder(file, row, days)
    if max(in_turn) > today:
        yield from _future(file, row.line, days, today)
    if row.closed_on is not None and not row.closed_how:
        yield Problem(file, row.line, "closed_how", None, "it was closed, but not how", "Write how, such as delivered.")
    if row.closed_how and row.closed_on is None:
        what = "it says how it was closed, but not when"
        yield Problem(file, row.line, "closed_on", None, what, "Write the day in closed_on.")
    if row.closed_amount is not None and not row.closed_how:
        what = "there is an amount, but it was not closed"
        yield Problem(file, row.line, "closed_amount", None, what, "Write closed_on and closed_how, or clear it.")
    if row.serial is not None and row.numbered_to is not None and row.serial > row.numbered_to:
        what = f"the serial is above the print run of {row.numbered_to}"
        yield Problem(file, row.line, "serial", str(row.serial), what, "Look at the card.", Severity.WARNING)


def _disorder(file: str, row: ClaimRow, days: dict[str, date]) -> Iterator[Problem]:
    closing = {"delivered": _DELIVERED, "kept": _KEPT}.get(row.closed_how, ())
    for first, second, what in (*_IN_ORDER, *closing):
        if first in days and second in days and days[second] < days[first]:
            remedy = f"Correct this day, or {first}, which is {days[first].isoformat()}."
            yield Problem(file, row.line, second, days[second].isoformat(), what, remedy)


def _future(file: str, line: int, days: dict[str, date], today: date) -> Iterator[Problem]:
    for column, day in days.items():
        if day > today:
            is_far = day > today + FAR_AHEAD
            what = "this day is more than a year ahead" if is_far else "this day is still to come"
            remedy = f"{'Correct' if is_far else 'Check'} it; today is {today.isoformat()}."
            severity = Severity.ERROR if is_far else Severity.WARNING
            yield Problem(file, line, column, day.isoformat(), what, remedy, severity)


def _maker_problems(file: str, row: MakerRow) -> Iterator[Problem]:
    opens, closes = row.opens or MAKER_DEFAULTS["opens"], row.closes or MAKER_DEFAULTS["closes"]
    if row.opens or row.closes:
        try:
            check_hours(parse_hour(opens), parse_hour(closes))
        except ValueError:
            what = f"the office would close at {closes} but open at {opens}"
            yield Problem(
                file, row.line, "closes", row.closes or None, what, "Correct one of the two hours, or write both."
            )


def _participant_problems(file: str, row: ParticipantRow, today: date) -> Iterator[Problem]:
    if row.address_confirmed_on is not None and row.address_confirmed_on > today:
        yield from _future(file, row.line, {"address_confirmed_on": row.address_confirmed_on}, today)
    if row.email and "@" not in row.email:
        what = "this does not look like an e-mail address"
        yield Problem(file, row.line, "email", None, what, "Check it.", Severity.WARNING)


def check_rows(file: str, rows: Sequence[Row]) -> Iterator[Problem]:
    """Return what cannot be true of the rows of one file together."""
    if len(rows) > 1 and isinstance(rows[0], HouseRow):
        what, remedy = "there is more than one house", "Keep one row; load another house into a desk of its own."
        yield Problem(file, rows[1].line, "house", None, what, remedy)
    yield from _broken_breaks(file, [row for row in rows if isinstance(row, SpotRow)])
    yield from _doubled_tags(file, [row for row in rows if isinstance(row, ClaimRow) and row.tag])


def _broken_breaks(file: str, rows: Sequence[SpotRow]) -> Iterator[Problem]:
    """Name rows of one break that disagree about its format or its start."""
    first_of: dict[tuple[str, str], tuple[object, int]] = {}
    for row in rows:
        name = folded(row.break_name)
        for column, value in (("format", row.format or None), ("starts_at", row.starts_at)):
            if value is None:
                continue
            first, line = first_of.setdefault((name, column), (value, row.line))
            if first != value:
                what = f"the break has another {column} in line {line}"
                remedy = "Write the same in both, or give the second break another name."
                yield Problem(file, row.line, column, str(value) if column == "format" else None, what, remedy)


def _doubled_tags(file: str, rows: Sequence[ClaimRow]) -> Iterator[Problem]:
    first_of: dict[str, ClaimRow] = {}
    for row in rows:
        first = first_of.setdefault(row.tag.casefold().replace(" ", ""), row)
        if first is not row and first.cells != row.cells:
            what = f"another claim has this tag in line {first.line}"
            yield Problem(file, row.line, "tag", row.tag, what, "Give each claim its own tag, or leave it empty.")
