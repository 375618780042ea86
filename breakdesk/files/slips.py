"""What goes on paper beside cards: packing slips, the list for the packing table, and a participant's statement."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Final

from breakdesk.files.messages.plain import plain_line, plain_text
from breakdesk.files.paper import PaperSize, Sheet
from breakdesk.rules.wording import counted

_MARGIN: Final = 18.0
_WIDE: Final = 72


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """One parcel as its slip says it. A gift shows no value; `cards` are tag, card and value in words."""

    house: str
    parcel: int
    on: date
    to_name: str
    address: tuple[str, ...]
    cards: tuple[tuple[str, str, str], ...]
    lines: tuple[str, ...] = ()
    gift_note: str = ""
    is_gift: bool = False


def slip_text(slip: Slip) -> str:
    """A packing slip as plain text."""
    return plain_text("\n".join(_slip_lines(slip))) + "\n"


def _slip_lines(slip: Slip) -> Iterator[str]:
    yield f"{slip.house}: packing slip"
    yield f"Parcel {slip.parcel}, {_day(slip.on)}"
    yield ""
    yield slip.to_name
    yield from slip.address
    yield ""
    for tag, what, value in slip.cards:
        worth = "" if slip.is_gift or not value else f"  {value}"
        yield f"[ ] {tag}  {plain_line(what)}{worth}"
    for line in slip.lines:
        yield f"[ ] {plain_line(line)}"
    yield ""
    count = len(slip.cards)
    yield counted(count, "card") + (f" and {len(slip.lines)} more" if slip.lines else "")
    if slip.gift_note:
        yield ""
        yield slip.gift_note


def write_slips(path: Path, size: PaperSize, slips: Sequence[Slip], fonts: Sequence[Path] = ()) -> str:
    """Writes one page a parcel as PDF; returns the characters that no font here can draw. Raises OSError."""
    pages = [slip_text(slip).split("\n") for slip in slips]
    paper = Sheet(size, (line for page in pages for line in page), fonts)
    width, bottom = size.width - 2 * _MARGIN, size.height - _MARGIN
    for page in pages:
        paper.page()
        y = _MARGIN + 6
        for number, line in enumerate([*page, *_by_hand(paper.undrawn_in(page))]):
            points = 16.0 if number == 0 else 11.0
            for part in paper.lines_of(line, width, points):
                if y > bottom:
                    paper.page()
                    y = _MARGIN + 6
                paper.text(_MARGIN, y, part, points)
                y += 9.0 if number == 0 else 5.6
    paper.save(path)
    return "".join(sorted(paper.missing))


def _by_hand(undrawn: str) -> list[str]:
    """What a slip says of its own letters that nothing drew, by their numbers in Unicode."""
    if not undrawn:
        return []
    numbers = ", ".join(f"U+{ord(character):04X}" for character in undrawn)
    return ["", f"A ? stands where no font has the letter: {numbers}.", "Read it on the screen and write it by hand."]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToPack:
    """A participant on the list for the packing table. `steps` are what packing takes."""

    name: str
    address: tuple[str, ...]
    address_confirmed: bool
    waits_until: date | None
    cards: tuple[tuple[str, str], ...]


def ship_list_text(house: str, on: date, people: Iterable[ToPack], steps: Sequence[str]) -> str:
    """The list for the packing table: who gets what and where it goes, with boxes to tick by hand."""
    lines = [f"{house}: to be shipped, {_day(on)}", f"Steps: {', '.join(steps)}", ""]
    people = list(people)
    for person in people:
        note = "" if person.address_confirmed else "   ADDRESS TO BE CONFIRMED: nothing leaves before"
        if person.waits_until is not None:
            note = f"   waits for other cards until {_day(person.waits_until)}"
        lines += ["-" * _WIDE, f"{plain_line(person.name)}{note}"]
        lines += [f"    {plain_line(line)}" for line in person.address if line.strip()]
        lines += [f"    [ ] {tag}  {plain_line(what)}" for tag, what in person.cards]
        lines += ["    packed by ________   tracking ______________________________", ""]
    if not people:
        lines.append("Nothing can be shipped now.")
    return plain_text("\n".join(lines)) + "\n"


@dataclass(frozen=True, slots=True, kw_only=True)
class StatementLine:
    """One claim of a participant as a statement says it; `amount` in words, empty for none."""

    tag: str
    what: str
    product: str
    since: date
    state: str
    tracking: str = ""
    amount: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Statement:
    """Everything between the house and one participant."""

    house: str
    name: str
    on: date
    owed: tuple[StatementLine, ...]
    ended: tuple[StatementLine, ...]


def statement_text(statement: Statement) -> str:
    """A participant's statement: what is owed, and how everything else ended."""
    lines = [f"{statement.house}: statement for {plain_line(statement.name)}", f"As of {_day(statement.on)}", ""]
    lines.append(f"Still owed: {len(statement.owed)}")
    for line in statement.owed:
        lines += _statement_lines(line)
    lines += ["", f"Ended: {len(statement.ended)}"]
    for line in statement.ended:
        lines += _statement_lines(line)
    return plain_text("\n".join(lines)) + "\n"


def _statement_lines(line: StatementLine) -> Iterator[str]:
    product = f", {plain_line(line.product)}" if line.product else ""
    yield f"  {line.tag}  {plain_line(line.what)}{product}"
    said = [f"since {_day(line.since)}", line.state, line.amount, f"tracking {line.tracking}" if line.tracking else ""]
    yield f"      {'; '.join(part for part in said if part)}"


def _day(day: date) -> str:
    return f"{day.day} {day:%b %Y}"
