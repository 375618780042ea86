"""Read the values of cells: text, lists, words, whole numbers, numbering, money, hours, zones and codes."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

from breakdesk.files.plain_text import is_controlled, shown_in_a_line
from breakdesk.files.unreadable import Unreadable
from breakdesk.rules.money import Money, NotAnAmount, is_currency, parse_money
from breakdesk.rules.office import parse_hour
from breakdesk.rules.zones import zone

LONGEST_LINE = 300
LONGEST_NOTE = 10_000
_LONGEST_NUMBER = 60
LARGEST_RUN = 10_000_000

_YES = frozenset({"yes", "y", "true", "t", "1", "x", "✓", "✔"})
_NO = frozenset({"no", "n", "false", "f", "0", "-"})
_WHOLE = re.compile(r"([0-9]{1,12})(?:\.0+)?")
_SERIAL_OF_RUN = re.compile(r"#?\s*([0-9]{1,9}|[x#_?]*)\s*(?:/|\bof\b|-of-)\s*#?\s*([0-9]{1,9})", re.IGNORECASE)
_ONE_NUMBER = re.compile(r"#?\s*([0-9]{1,9})(?:\.0+)?")
_PLAIN = re.compile(r"[!-\"$-~](?:[ ]?[!-~]){0,120}")
_SPACES = re.compile(r"[ \t\r\n\v\f\x85\xa0\u2028\u2029]+")
_LINE_BREAKS = re.compile(r"\r\n|[\r\v\f\x85\u2028\u2029]")
# What a spreadsheet shows where a formula fails (ECMA-376, 18.18.11, cells of type e).
_FAILED_FORMULAS = frozenset({"#N/A", "#REF!", "#VALUE!", "#DIV/0!", "#NAME?", "#NULL!", "#NUM!"})
_WORDS_FOR_ONE = re.compile(r"\bone\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Numbering:
    """A card's number in its print run, and the run; either may be unknown."""

    serial: int | None = None
    run: int | None = None


def parse_line(text: str) -> str:
    """Read text of one line: runs of spaces and line breaks become one. Raises Unreadable for control characters."""
    # Most cells are plain already, and loading a long file reads every one of them.
    if _PLAIN.fullmatch(text):
        return text
    line = _SPACES.sub(" ", text).strip()
    return _checked_text(line, LONGEST_LINE)


def parse_note(text: str) -> str:
    """Read text of several lines, line breaks as one newline each. Raises Unreadable for control characters."""
    return _checked_text(_LINE_BREAKS.sub("\n", text).strip(), LONGEST_NOTE)


def _checked_text(text: str, longest: int) -> str:
    if text in _FAILED_FORMULAS:
        raise Unreadable("a formula failed here", "Mend the formula, or write its value.")
    if is_controlled(text):
        raise Unreadable("the text holds control characters", "Type it again, or paste it as plain text.")
    if len(text) > longest:
        raise Unreadable(f"the text is longer than {longest:,} characters", "Shorten it.")
    return unicodedata.normalize("NFC", text)


def parse_list(text: str) -> tuple[str, ...]:
    """Read values separated by `;`, each once, empty ones left out."""
    return tuple(dict.fromkeys(part for part in map(parse_line, text.split(";")) if part))


def parse_joined(text: str) -> str:
    """Read values separated by `;` as one text, joined by `;` without spaces around it."""
    return ";".join(parse_list(text))


def parse_whole(least: int, most: int) -> Callable[[str], int]:
    """Return a reader of whole numbers from `least` to `most`, both included."""

    def read(text: str) -> int:
        match = _WHOLE.fullmatch(text.strip())
        if match is None or not least <= int(match[1]) <= most:
            raise Unreadable("this is not a whole number that fits here", f"Write one from {least} to {most:,}.")
        return int(match[1])

    return read


def parse_run(text: str) -> Numbering:
    """Read a print run: `25`, `/25`, `#/25`, `7/25` or `1 of 1`; a run of one has the serial 1."""
    both = _serial_of_run(text)
    if both is not None:
        return both
    one = _ONE_NUMBER.fullmatch(text.strip())
    if one is None:
        raise Unreadable("this is not a print run", "Write how many were made, such as 25 or 1 of 1.")
    return Numbering(run=_counted(one[1]))


def parse_serial(text: str) -> Numbering:
    """Read a card's own number: `7`, `#7`, `7/25`, `1 of 1`."""
    both = _serial_of_run(text)
    if both is not None:
        return both
    one = _ONE_NUMBER.fullmatch(text.strip())
    if one is None:
        raise Unreadable("this is not a serial number", "Write the card's own number, such as 7 or 7/25.")
    return Numbering(serial=_counted(one[1]))


def _serial_of_run(text: str) -> Numbering | None:
    if len(text) > _LONGEST_NUMBER:
        return None
    match = _SERIAL_OF_RUN.fullmatch(_WORDS_FOR_ONE.sub("1", text.strip()))
    if match is None:
        return None
    serial = _counted(match[1]) if match[1].isdecimal() else None
    return Numbering(serial=serial, run=_counted(match[2]))


def _counted(digits: str) -> int:
    count = int(digits)
    if not 1 <= count <= LARGEST_RUN:
        raise Unreadable("no card has this number", f"Write a number from 1 to {LARGEST_RUN:,}.")
    return count


def parse_yes_no(text: str) -> bool:
    """Read yes or no in the ways people write them."""
    word = text.strip().casefold()
    if word in _YES:
        return True
    if word in _NO:
        return False
    raise Unreadable("this is neither yes nor no", "Write yes or no.")


def parse_word(allowed: Sequence[str], other_spellings: Mapping[str, str] | None = None) -> Callable[[str], str]:
    """Return a reader of one of the allowed words, whatever its case, spaces and hyphens."""
    spellings = {**(other_spellings or {}), **{word: word for word in allowed}}

    def read(text: str) -> str:
        word = re.sub(r"[\s_-]+", "_", text.strip().casefold())
        if word not in spellings:
            raise Unreadable("this word is not known here", f"Write one of {', '.join(allowed)}.")
        return spellings[word]

    return read


def parse_amount(currency: str) -> Callable[[str], Money]:
    """Return a reader of amounts of money; `currency` holds where none is written."""

    def read(text: str) -> Money:
        if len(text) > _LONGEST_NUMBER:
            raise Unreadable("this is not an amount of money", f"Write it like 12.50 or 12.50 {currency}.")
        try:
            return parse_money(text, currency)
        except NotAnAmount as error:
            # The sentence about a cell names its value already.
            raise Unreadable(f"this {error.what}", error.remedy) from None
        except ValueError as error:
            raise Unreadable("this is not an amount of money", str(error)) from None

    return read


def parse_hour_text(text: str) -> str:
    """Read an hour and return it as HH:MM; 24:00 is the end of the day."""
    written = re.sub(r"^([0-9]:)", r"0\1", re.sub(r"^([0-9]{1,2}:[0-9]{2}):00$", r"\1", text.strip()))
    try:
        parse_hour(written)
    except ValueError as error:
        raise Unreadable("this is not an hour", shown_in_a_line(str(error), LONGEST_LINE)) from None
    return written


def parse_zone(text: str) -> str:
    """Read the name of a zone of the IANA time zone database."""
    name = parse_line(text)
    try:
        zone(name)
    except ValueError:
        raise Unreadable("no time zone has this name", "Write it like America/Chicago.") from None
    return name


def parse_currency(text: str) -> str:
    """Read an ISO 4217 currency code."""
    code = text.strip().upper()
    if not is_currency(code):
        raise Unreadable("this is not a currency code", "Write the three letters of ISO 4217, such as USD.")
    return code


def parse_country(text: str) -> str:
    """Read an ISO 3166-1 country code of two letters; whether such a country exists is not checked."""
    code = text.strip().upper()
    if re.fullmatch(r"[A-Z]{2}", code) is None:
        raise Unreadable("this is not a country code", "Write the two letters of ISO 3166-1, such as US.")
    return code
