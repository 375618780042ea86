"""Labels on common sheets: addresses for parcels, and sleeves with the tag as a code that a scanner reads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from breakdesk.files.messages.plain import plain_line
from breakdesk.files.paper import A4, LETTER, MILLIMETRES_IN_A_POINT, PaperSize, Sheet
from breakdesk.rules.tags import shown

LARGEST_POINTS: Final = 11.0
SMALLEST_POINTS: Final = 5.0
QUIET_MODULES: Final = 4
"""White modules that ISO/IEC 18004 wants around a QR code."""
_PADDING: Final = 2.5


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet of equal labels, in millimetres."""

    paper: PaperSize
    columns: int
    rows: int
    width: float
    height: float
    left: float
    top: float
    step_x: float
    step_y: float

    def corner(self, place: int) -> tuple[float, float]:
        """The upper left corner of the label at a place, counted by rows from 0."""
        row, column = divmod(place, self.columns)
        return self.left + column * self.step_x, self.top + row * self.step_y

    @property
    def count(self) -> int:
        """How many labels a sheet has."""
        return self.columns * self.rows


LABELS_A4: Final = LabelSheet(A4, 3, 7, 63.5, 38.1, 7.25, 15.15, 66.0, 38.1)
LABELS_LETTER: Final = LabelSheet(LETTER, 3, 10, 66.675, 25.4, 4.7625, 12.7, 69.85, 25.4)
"""21 labels on A4 and 30 on letter: common practice, no source."""
LABEL_SHEETS: Final = {"a4": LABELS_A4, "letter": LABELS_LETTER}


@dataclass(frozen=True, slots=True)
class SleeveLabel:
    """What stands on a sleeve: the tag, as text and as a code, and the card in a few words."""

    tag: str
    what: str


@dataclass(frozen=True, slots=True)
class Printed:
    """What became of labels: how many, which characters no font here can draw, and the addresses to write by hand.

    Those are of two kinds: too long for a label, or with a letter that nothing draws.
    """

    count: int
    missing: str
    too_long: tuple[str, ...] = ()
    undrawn: tuple[str, ...] = ()


def write_address_labels(
    path: Path, sheet: LabelSheet, addresses: Sequence[Sequence[str]], first: int = 1, fonts: Sequence[Path] = ()
) -> Printed:
    """Writes one label an address; `first` is the place of the first label on a sheet that was begun.

    An address that does not fit at the smallest size, or that cannot be drawn whole, is left out and named: a label
    with half an address sends a card astray. Raises OSError.
    """
    place = _place_of(sheet, first)
    lines = [[line for line in map(plain_line, address) if line] for address in addresses]
    paper = Sheet(sheet.paper, (line for address in lines for line in address), fonts)
    too_long, undrawn = [], []
    paper.page()
    for address in lines:
        points = _points_for(paper, sheet, address)
        if paper.undrawn_in(address):
            undrawn.append(address[0])
            continue
        if points is None:
            too_long.append(address[0] if address else "")
            continue
        place = _next(paper, sheet, place)
        x, y = sheet.corner(place)
        step = points * MILLIMETRES_IN_A_POINT * 1.25
        y += (sheet.height - step * len(address)) / 2 + step * 0.8
        for line in address:
            paper.text(x + _PADDING, y, line, points)
            y += step
        place += 1
    paper.save(path)
    count = len(lines) - len(too_long) - len(undrawn)
    return Printed(count, "".join(sorted(paper.missing)), tuple(too_long), tuple(undrawn))


def _points_for(paper: Sheet, sheet: LabelSheet, lines: Sequence[str]) -> float | None:
    points = LARGEST_POINTS
    while points >= SMALLEST_POINTS:
        high = points * MILLIMETRES_IN_A_POINT * 1.25 * len(lines)
        wide = max((paper.width_of(line, points) for line in lines), default=0.0)
        if high <= sheet.height - 2 and wide <= sheet.width - 2 * _PADDING:
            return points
        points -= 0.5
    return None


def write_sleeve_labels(
    path: Path, sheet: LabelSheet, labels: Sequence[SleeveLabel], first: int = 1, fonts: Sequence[Path] = ()
) -> Printed:
    """Writes one label a claim, its tag as a QR code (ISO/IEC 18004) and as text. Raises OSError."""
    place = _place_of(sheet, first)
    paper = Sheet(sheet.paper, (text for label in labels for text in (label.tag, label.what)), fonts)
    paper.page()
    side = sheet.height - 4
    room = sheet.width - side - 2 - _PADDING * 2
    tags = [shown(label.tag) for label in labels]
    # One size for all of them: a sheet of labels is read at a glance.
    sizes = (size / 2 for size in range(36, 12, -1))
    points = next((size for size in sizes if all(paper.width_of(tag, size) <= room for tag in tags)), 6.0)
    for label, tag in zip(labels, tags, strict=True):
        place = _next(paper, sheet, place)
        x, y = sheet.corner(place)
        draw_code(paper, x + 2, y + 2, side, label.tag)
        paper.text(x + side + 2 + _PADDING, y + 4 + points * MILLIMETRES_IN_A_POINT, tag, points)
        below = y + 9 + points * MILLIMETRES_IN_A_POINT
        for line in paper.lines_of(plain_line(label.what), room, 7.5)[: int((sheet.height - 12) // 4)]:
            paper.text(x + side + 2 + _PADDING, below, line, 7.5)
            below += 3.6
        place += 1
    paper.save(path)
    return Printed(len(labels), "".join(sorted(paper.missing)))


def draw_code(paper: Sheet, x: float, y: float, side: float, text: str) -> None:
    """Draws a text as a QR code in a square of `side` millimetres, its white border included."""
    import segno

    modules = list(segno.make(text, error="m", micro=False).matrix)
    module = side / (len(modules) + 2 * QUIET_MODULES)
    for row, line in enumerate(modules):
        for column, dark in enumerate(line):
            if dark:
                paper.box(
                    x + (column + QUIET_MODULES) * module,
                    y + (row + QUIET_MODULES) * module,
                    module * 1.02,
                    module * 1.02,
                )


def _place_of(sheet: LabelSheet, first: int) -> int:
    if not 1 <= first <= sheet.count:
        raise ValueError(f"A sheet has the places 1 to {sheet.count}, not {first}.")
    return first - 1


def _next(paper: Sheet, sheet: LabelSheet, place: int) -> int:
    if place < sheet.count:
        return place
    paper.page()
    return 0
