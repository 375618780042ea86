"""How the cells of each column are read, and what an empty cell stands for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import partial
from typing import Any, get_args

from breakdesk.files.cells import (
    Numbering,
    parse_amount,
    parse_country,
    parse_currency,
    parse_hour_text,
    parse_joined,
    parse_line,
    parse_list,
    parse_note,
    parse_run,
    parse_serial,
    parse_whole,
    parse_word,
    parse_yes_no,
    parse_zone,
)
from breakdesk.files.dates import parse_day, parse_moment
from breakdesk.files.headers import Kind
from breakdesk.rules.break_facts import BreakFormat
from breakdesk.rules.claim import CLOSINGS, FAULTS, KINDS, PLANS
from breakdesk.rules.terms import EXPIRED_POLICIES

FORMATS: tuple[str, ...] = get_args(BreakFormat)
# What the trade calls the formats besides (common practice, no source).
_OTHER_FORMATS = {
    "pick_your_team": "team",
    "random_team": "team",
    "teams": "team",
    "players": "player",
    "pick_your_player": "player",
    "letters": "letter",
    "last_name": "letter",
    "hit": "hit_draft",
    "draft": "hit_draft",
    "last_digit": "serial",
    "serial_number": "serial",
    "boxes": "box",
    "personal_box": "personal",
}


@dataclass(frozen=True, slots=True)
class Reader:
    """Reads a cell that is not empty; raises Unreadable. `empty` is what an empty cell stands for."""

    read: Callable[[str], Any]
    empty: Any


def _days(text: str) -> tuple[date, ...]:
    return tuple(sorted({parse_day(part) for part in text.split(";") if part.strip()}))


_LINE = Reader(parse_line, "")
_NOTE = Reader(parse_note, "")
_JOINED = Reader(parse_joined, "")
_LIST = Reader(parse_list, ())
_DAY = Reader(parse_day, None)
_ZONE = Reader(parse_zone, "")
_COUNTRY = Reader(parse_country, "")
_HOUR = Reader(parse_hour_text, "")
_RUN = Reader(parse_run, Numbering())
_SERIAL = Reader(parse_serial, Numbering())
_DAYS_OR_NONE = Reader(parse_whole(0, 3650), None)
_DAYS_FROM_ONE = Reader(parse_whole(1, 3650), None)
_MONTHS = Reader(parse_whole(0, 120), None)

# Columns that are not text of one line.
_SPECIAL: dict[Kind, dict[str, Reader]] = {
    Kind.HOUSE: {
        "zone": _ZONE,
        "currency": Reader(parse_currency, ""),
        "country": _COUNTRY,
        "submit_within_days": _DAYS_OR_NONE,
        "tell_urgent_within_days": _DAYS_OR_NONE,
        "tell_routine_within_days": _DAYS_OR_NONE,
        "update_every_days": _DAYS_FROM_ONE,
    },
    Kind.MAKERS: {
        "zone": _ZONE,
        "country": _COUNTRY,
        "opens": _HOUR,
        "closes": _HOUR,
        "closed_days": Reader(_days, ()),
        "ask_after_months": _MONTHS,
        "ask_every_days": _DAYS_FROM_ONE,
        "expired_policy": Reader(parse_word(EXPIRED_POLICIES), ""),
        "contact": _NOTE,
    },
    Kind.PARTICIPANTS: {
        "zone": _ZONE,
        "address": _NOTE,
        "address_country": _COUNTRY,
        "address_confirmed_on": _DAY,
    },
    Kind.CHECKLIST: {"subject": _JOINED, "team": _JOINED, "numbered_to": _RUN, "features": _JOINED},
    Kind.SPOTS: {
        "product": _LIST,
        "format": Reader(parse_word(FORMATS, _OTHER_FORMATS), ""),
        "spot": _LIST,
        "participant": _LIST,
    },
    Kind.CLAIMS: {
        "participant": _LIST,
        "kind": Reader(parse_word(KINDS), "redemption"),
        "subject": _JOINED,
        "team": _JOINED,
        "numbered_to": _RUN,
        "serial": _SERIAL,
        "features": _JOINED,
        "expires_on": _DAY,
        "plan": Reader(parse_word(PLANS), "submit"),
        "submitted_on": _DAY,
        "last_asked_on": _DAY,
        "last_told_on": _DAY,
        "in_hand_on": _DAY,
        "shipped_on": _DAY,
        "closed_on": _DAY,
        "closed_how": Reader(parse_word(CLOSINGS), ""),
        "fault": Reader(parse_word(FAULTS), ""),
        "refused_on": _DAY,
        "seen_on_camera": Reader(parse_yes_no, False),
        "note": _NOTE,
    },
}


def reader_of(kind: Kind, column: str, house_zone: str, currency: str, dates: str = "") -> Reader:
    """Return the reader of a column; local times are in `house_zone`, amounts without a code in `currency`.

    `dates` says how days in figures with two readings are meant, where the table's match of columns tells.
    """
    if column in ("starts_at", "pulled_at"):
        return Reader(partial(parse_moment, zone_name=house_zone, order=dates), None)
    if dates and _SPECIAL[kind].get(column) is _DAY:
        return Reader(partial(parse_day, order=dates), None)
    if column in ("price_paid", "value", "closed_amount"):
        return Reader(parse_amount(currency), None)
    return _SPECIAL[kind].get(column, _LINE)
