"""How safe the desk is, at one glance: its backups, what unlocks its codes, and who else can read it."""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from textwrap import fill

from breakdesk.desk.desk import Desk
from breakdesk.desk.locking import THING, list_ways
from breakdesk.desk.privacy import notes_on_privacy
from breakdesk.desk.problems import Problem
from breakdesk.rules.wording import weekday_in_words
from breakdesk.store import keys, models
from breakdesk.store.backups import Backup, backups_folder, backups_of

PAGE_WIDTH = 76
"""Characters in a line of the printed page."""


@dataclass(frozen=True, slots=True)
class Safety:
    """What the page about safety needs of the desk at once."""

    backups: tuple[Backup, ...]
    """Newest first; each was proved when it was made."""
    folder: Path
    ways: dict[str, str]
    """The ways to unlock that the desk has, with what each means."""
    has_codes: bool
    is_unlocked: bool
    asks: bool
    """Whether codes stay closed until somebody types a passphrase or a recovery key."""
    recovery_made_on: date | None
    notes: tuple[str, ...]
    """A sentence for each file that others on this machine can read."""


def safety(desk: Desk) -> Safety:
    """The desk's safety as it is now."""
    return Safety(
        backups=tuple(backups_of(desk.path)),
        folder=backups_folder(desk.path),
        ways={line.kind: line.about for line in list_ways(desk)},
        has_codes=models.ClaimCode.select().exists(),
        is_unlocked=desk.sealer.is_unlocked(),
        asks=keys.must_be_typed(desk.path),
        recovery_made_on=_added_on(keys.RECOVERY),
        notes=tuple(notes_on_privacy(desk.path)),
    )


def _added_on(way: str) -> date | None:
    lines = models.HistoryLine
    found = lines.select().where(lines.thing == THING, lines.kind == "way_added").order_by(lines.id.desc())
    return next((line.day for line in found if json.loads(line.body).get("way") == way), None)


def lock_codes(desk: Desk) -> Problem | None:
    """Closes the codes again until somebody types; a desk that opens them by itself cannot be locked so."""
    if not keys.must_be_typed(desk.path):
        return Problem(
            "The codes of this desk open without asking anybody.",
            "Set a passphrase and take the key file or the keyring away; then they are asked for.",
        )
    desk.sealer.forget()
    return None


def recovery_page(desk_path: Path, house: str, key: str, day: date) -> str:
    """The page with a recovery key that is printed and put away."""
    groups = key.split()
    return (
        f"Recovery key of the desk of {house}\n"
        f"Made on {weekday_in_words(day)} for the desk file {desk_path.name}\n\n"
        f"    {'  '.join(groups[:4])}\n\n    {'  '.join(groups[4:])}\n\n"
        "This key opens the codes of the claim cards, in the desk and in every backup of it, when the key file and the "
        "passphrase are lost. Whoever reads it can do so. Keep this page where you keep what is worth as much as the "
        "cards, not beside the computer. A recovery key that is made later takes its place.\n\n"
        "The letters and digits are those that are not taken for each other; the last one of each group checks it. To "
        "use it, type it where the passphrase is asked for, with or without the blanks.\n"
    )


def write_recovery_page(path: Path, page: str) -> Path | Problem:
    """Writes the page into a new file for its owner only, to be printed and deleted."""
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write("\n".join(fill(line, PAGE_WIDTH) if line.strip() else "" for line in page.split("\n")))
    except FileExistsError:
        return Problem(f"{path} is there already.", "Name a new file, so that nothing is written over.")
    except (OSError, ValueError) as error:
        said = error.strerror if isinstance(error, OSError) else "its name holds a character that no file can have"
        return Problem(f"{path} cannot be written: {said}.", "Name another place.")
    return path
