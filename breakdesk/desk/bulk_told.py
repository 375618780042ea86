"""Messages that were written into files count as told once somebody says that they went out, or as not told again."""

from __future__ import annotations

import csv
from collections.abc import Callable
from dataclasses import dataclass
from email import message_from_bytes, policy
from pathlib import Path

from breakdesk.desk.bulk_files import HEADER, LIST, Progress
from breakdesk.desk.desk import Desk
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.telling import mark_told
from breakdesk.desk.undoing import undo
from breakdesk.files.plain_text import with_formula_start
from breakdesk.store import models
from breakdesk.store.claims import claim_with_tag

LARGEST_MESSAGE = 2_000_000
KEYS = 2**63


@dataclass(frozen=True, slots=True)
class Marked:
    """How many participants were marked by a list, and a sentence for each line that was not."""

    count: int
    problems: tuple[str, ...]


def mark_list_told(desk: Desk, listing: Path, progress: Progress = lambda _done, _of: True) -> Marked | Problem:
    """Marks as told what a written folder (its list, or a CSV file) says, word for word; twice is as good as once."""
    return _each_row(desk, listing, progress, _mark_row)


def take_list_back(desk: Desk, listing: Path, progress: Progress = lambda _done, _of: True) -> Marked | Problem:
    """Takes back that what a written folder says was told: those messages did not go out after all."""
    return _each_row(desk, listing, progress, _take_row_back)


def _each_row(
    desk: Desk, listing: Path, progress: Progress, do: Callable[[Desk, Path, dict[str, str]], str]
) -> Marked | Problem:
    path = listing / LIST if listing.is_dir() else listing
    try:
        with path.open(encoding="utf-8", newline="") as file:
            rows = list(csv.reader(file))
    except (OSError, UnicodeDecodeError, csv.Error):
        return Problem(f"{path} cannot be read as a list of messages.", "Name the folder that `send --out` wrote.")
    if not rows or tuple(rows[0]) not in (HEADER, HEADER[:-1]):
        return Problem(f"{path} is no list of messages.", "Name the folder that `send --out` wrote.")
    done, problems = 0, []
    for number, row in enumerate(rows[1:], start=1):
        if not progress(number - 1, len(rows) - 1):
            break
        cells = dict(zip(HEADER, (with_formula_start(cell) for cell in row), strict=False))
        problem = do(desk, path, cells) if len(row) == len(rows[0]) else "it is cut off."
        if problem:
            problems.append(f"Line {number + 1}: {problem}")
        else:
            done += 1
    return Marked(done, tuple(problems))


def _mark_row(desk: Desk, path: Path, cells: dict[str, str]) -> str:
    """Marks one line; what is wrong with it, or an empty text."""
    try:
        key, person_id, number = _whole(cells["key"], 16), _whole(cells["participant"]), _whole(cells["knows"])
        text = cells["text"] if "text" in cells else _text_of(path.parent / Path(cells["file"]).name)
    except (ValueError, OSError):
        return "its key, participant or file cannot be read."
    keys = [claim_with_tag(tag) for tag in cells["claims"].split(";")]
    if None in keys:
        return "it is from another desk, or a claim of it is gone."
    # What was taken back and went out after all is a telling of its own, and still the same one each time.
    key, _ = _latest(key, person_id)
    claim_ids = [claim_id for claim_id in keys if claim_id is not None]
    result = mark_told(desk, person_id, claim_ids, cells["channel"], text, cells["template"], key, number=number)
    return "" if isinstance(result, Done) else result.sentence


def _take_row_back(desk: Desk, _path: Path, cells: dict[str, str]) -> str:
    """Takes one line back; what is wrong with it, or an empty text."""
    try:
        key, counts = _latest(_whole(cells["key"], 16), _whole(cells["participant"]))
    except ValueError:
        return "its key or participant cannot be read."
    if not counts:
        return "it does not count as told."
    result = undo(desk, key)
    return "" if isinstance(result, Done) else result.sentence


def _whole(text: str, base: int = 10) -> int:
    """A number that the desk can hold; ValueError otherwise."""
    number = int(text, base)
    if not 0 <= number < KEYS:
        raise ValueError(text)
    return number


def _latest(key: int, person_id: int) -> tuple[int, bool]:
    """The key of the latest telling from a line, or of the next one where that was taken back; whether it counts."""
    table = models.Telling
    while True:
        row = table.get_or_none(table.participant == person_id, table.action_key == key)
        if row is None or not row.undone:
            return key, row is not None
        key = (key * 3 + 1) % KEYS


def _text_of(path: Path) -> str:
    """The words of a message that was written to a file, as they stood in the telling."""
    if path.stat().st_size > LARGEST_MESSAGE:
        raise ValueError(path.name)
    content = path.read_bytes()
    if path.suffix == ".eml":
        mail = message_from_bytes(content, policy=policy.default)
        body = mail.get_content().replace("\r\n", "\n").rstrip("\n")
        return f"Subject: {mail['Subject']}\n\n{body}"
    return content.decode("utf-8").removesuffix("\n")
