"""Days and moments as people write them; what can be read in two ways is refused with both readings."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta, timezone

from breakdesk.files.plain_text import shown_in_a_line
from breakdesk.files.unreadable import TwoReadings, Unreadable
from breakdesk.rules.zones import local_day, resolve_local

FIRST_YEAR = 1990
LAST_YEAR = 2100

# English month names, whatever language the machine speaks.
_MONTH_NAMES = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_MONTHS = {
    spelling: number
    for number, name in enumerate(_MONTH_NAMES, start=1)
    for spelling in (name.lower(), name[:3].lower(), name[:4].lower())
}
_LONGEST = 60
_ISO = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_NUMBERS = re.compile(r"([0-9]{1,4})([-/.])([0-9]{1,2})\2([0-9]{1,4})")
_DAY_MONTH_YEAR = re.compile(r"([0-9]{1,2})(?:st|nd|rd|th)?[ ./-]*([a-z]+)\.?,?[ ./-]*([0-9]{4}|[0-9]{2})")
_MONTH_DAY_YEAR = re.compile(r"([a-z]+)\.?[ ./-]*([0-9]{1,2})(?:st|nd|rd|th)?(?:, *| +|[./-])([0-9]{4}|[0-9]{2})")
_YEAR_MONTH_DAY = re.compile(r"([0-9]{4})[ ./-]+([a-z]+)[ ./-]+([0-9]{1,2})")
_MONTH_ALONE = re.compile(r"[0-9]{1,2}[-/.][0-9]{4}|[0-9]{4}[-/.][0-9]{1,2}|([a-z]+)\.?[ ,'/-]*(?:[0-9]{4}|[0-9]{2})")
_SPREADSHEET_NUMBER = re.compile(r"[3-7][0-9]{4}(?:\.[0-9]+)?")
_TIME_AT_THE_END = re.compile(
    r"(?P<day>.*?[^\s,])(?:[\s,]+|(?<=[0-9])t)(?:at\s+)?(?P<hour>[0-9]{1,2})(?::(?P<minute>[0-9]{2}))?"
    r"(?::(?P<second>[0-9]{2})(?:[.,](?P<fraction>[0-9]{1,9}))?)?\s*(?P<half>[ap]\.?m\.?)?\s*"
    r"(?P<offset>z|utc|[+-][0-9]{2}(?::?[0-9]{2})?)?"
)
# By order, which group of three figures is the month and which the day; the year stands last.
_ORDERS = {"month_first": (1, 3), "day_first": (3, 1)}
_WRITE_ISO = "Write it as year-month-day, such as 2027-03-31."
_WRITE_MOMENT = "Write it as 2027-03-31 20:15, or the day alone."


@dataclass(frozen=True, slots=True)
class Moment:
    """When something happened: the house's `day`, and the UTC `instant` where a time of day was written."""

    day: date
    instant: datetime | None


def parse_day(text: str, order: str = "") -> date:
    """Read a day, ISO 8601 first (2027-03-31), then any other spelling that has one reading only.

    Days in figures are read month first, day first and, with a year of two figures, year first; where more than one of
    these is a day, it is refused, unless `order` says month_first or day_first. A local time after the day is left out,
    since a day is kept as written. Raises Unreadable, also outside the years 1990 to 2100.
    """
    written = text.strip()
    iso = _ISO.fullmatch(written)
    if iso:
        return _within_years(_day(int(iso[1]), int(iso[2]), int(iso[3])))
    folded = _folded(written)
    readings = _readings(folded)
    if not readings:
        timed = _TIME_AT_THE_END.fullmatch(folded)
        if timed and timed["minute"] and not timed["offset"]:
            _time_of_day(timed)
            folded = timed["day"]
            readings = _readings(folded)
        if not readings:
            raise _not_a_day(folded)
    if len(readings) > 1 and order in _ORDERS:
        readings = _in_order(folded, order) or readings
    if len(readings) > 1:
        spelled = [_spelled(reading) for reading in readings]
        what = f"this date can be read as {' or '.join(spelled)}"
        raise TwoReadings(what, f"Write it as {' or '.join(reading.isoformat() for reading in readings)}.")
    return _within_years(readings[0])


def parse_moment(text: str, zone_name: str, order: str = "") -> Moment:
    """Read a day, or a day and a time of day; `zone_name` is the house's zone, `order` as for `parse_day`.

    A bare day has no instant. A time without an offset is the house's, the first of two where it occurs twice; with an
    offset it is converted and the day is the house's. Raises Unreadable, also for a local time that does not exist.
    """
    folded = _folded(text)
    if _readings(folded):
        return Moment(parse_day(folded, order), None)
    timed = _TIME_AT_THE_END.fullmatch(folded)
    if timed is None or not (timed["minute"] or timed["half"]):
        return Moment(parse_day(folded, order), None)
    naive = datetime.combine(parse_day(timed["day"], order), _time_of_day(timed))
    if timed["offset"] is None:
        try:
            return Moment(naive.date(), resolve_local(naive, zone_name))
        except ValueError as error:
            raise Unreadable("this time does not exist on that day", shown_in_a_line(str(error), 300)) from None
    instant = naive.replace(tzinfo=_offset(timed["offset"])).astimezone(UTC)
    return Moment(local_day(instant, zone_name), instant)


def _folded(text: str) -> str:
    if len(text) > _LONGEST:
        raise Unreadable("this is not a date", _WRITE_ISO)
    return " ".join(text.lower().split())


def _readings(folded: str) -> list[date]:
    """Return the days that the text can mean, month first before day first before year first, each once."""
    figures = _NUMBERS.fullmatch(folded)
    if figures:
        return _readings_of_figures(figures[1], figures[3], figures[4])
    for pattern, (year, month, day) in (
        (_DAY_MONTH_YEAR, (3, 2, 1)),
        (_MONTH_DAY_YEAR, (3, 1, 2)),
        (_YEAR_MONTH_DAY, (1, 2, 3)),
    ):
        words = pattern.fullmatch(folded)
        if words and words[month] in _MONTHS:
            return _days([(words[year], str(_MONTHS[words[month]]), words[day])])
    return []


def _readings_of_figures(first: str, second: str, third: str) -> list[date]:
    if len(first) == 4:
        return _days([(first, second, third)]) if len(third) <= 2 else []
    if len(first) == 3 or len(third) in (1, 3):
        return []
    readings = [(third, first, second), (third, second, first)]
    if len(third) == 2 and len(first) == 2:
        readings.append((first, second, third))
    return _days(readings)


def _in_order(folded: str, order: str) -> list[date]:
    figures = _NUMBERS.fullmatch(folded)
    if figures is None:
        return []
    month, day = _ORDERS[order]
    return _days([(figures[4], figures[month], figures[day])])


def _days(parts: list[tuple[str, str, str]]) -> list[date]:
    days: dict[date, None] = {}
    for year, month, day in parts:
        try:
            days[date(int(year) + (2000 if len(year) == 2 else 0), int(month), int(day))] = None
        except ValueError:
            continue
    return list(days)


def _day(year: int, month: int, day: int) -> date:
    try:
        return date(year, month, day)
    except ValueError:
        raise Unreadable("there is no such day", _WRITE_ISO) from None


def _spelled(day: date) -> str:
    return f"{day.day} {_MONTH_NAMES[day.month - 1]} {day.year}"


def _within_years(day: date) -> date:
    if not FIRST_YEAR <= day.year <= LAST_YEAR:
        raise Unreadable(f"the year is not within {FIRST_YEAR} and {LAST_YEAR}", _WRITE_ISO)
    return day


def _not_a_day(folded: str) -> Unreadable:
    month = _MONTH_ALONE.fullmatch(folded)
    if month and (month[1] is None or month[1] in _MONTHS):
        return Unreadable("this is a month, not a day", "Write the day too: of an expiry month its last, 2027-03-31.")
    if _SPREADSHEET_NUMBER.fullmatch(folded):
        what = "this is a spreadsheet's number for a date"
        return Unreadable(what, "Format the column as a date there and save again.")
    return Unreadable("this is not a date", _WRITE_ISO)


def _time_of_day(timed: re.Match[str]) -> time:
    hour = int(timed["hour"])
    if timed["half"]:
        if not 1 <= hour <= 12:
            raise Unreadable("there is no such time of day", _WRITE_MOMENT)
        hour = hour % 12 + (12 if timed["half"].startswith("p") else 0)
    microsecond = int((timed["fraction"] or "0").ljust(6, "0")[:6])
    try:
        return time(hour, int(timed["minute"] or 0), int(timed["second"] or 0), microsecond)
    except ValueError:
        raise Unreadable("there is no such time of day", _WRITE_MOMENT) from None


def _offset(written: str) -> timezone:
    if written in ("z", "utc"):
        return UTC
    hours, minutes = int(written[1:3]), int(written[-2:]) if len(written) > 3 else 0
    if hours > 14 or minutes > 59:
        raise Unreadable("there is no such offset from UTC", "Write it as +02:00, or leave it out.")
    span = timedelta(hours=hours, minutes=minutes)
    return timezone(-span if written.startswith("-") else span)
