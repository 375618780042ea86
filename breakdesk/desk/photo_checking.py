"""Holds every photo that counts against the digest that the history has of it."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

from breakdesk.desk.desk import Desk
from breakdesk.desk.photos import FOLDER, SEALED
from breakdesk.rules.claim import Event
from breakdesk.rules.story import active
from breakdesk.rules.wording import day_in_words
from breakdesk.store import history, models
from breakdesk.store.sealing import NoKey


def photo_faults(desk: Desk) -> Iterator[str]:
    """A sentence for each photo whose copy is missing, or is no longer what was kept.

    Of a sealed photo nothing but its being there can be said while the desk's codes are locked.
    """
    lines, photos = models.HistoryLine, models.Photo
    with_photos = lines.select(lines.thing_id).where(lines.thing == "claim", lines.kind == "photo").distinct()
    claim_ids = sorted(line.thing_id for line in with_photos)
    table = models.Claim
    tags = {row.id: row.tag for row in table.select(table.id, table.tag).where(table.id.in_(claim_ids or [0]))}
    rows = {row.id: row for row in photos.select()}
    for claim_id, events in history.claim_events(claim_ids).items():
        for event in active(events):
            if event.kind == "photo":
                fault = _fault(desk, rows.get(event.body["photo"]), event)
                if fault:
                    yield f"Claim {tags.get(claim_id, claim_id)}: {fault}"


def _fault(desk: Desk, row: models.Photo | None, event: Event) -> str:
    named = f"the photo of {day_in_words(event.day)} ({event.body['what']})"
    if row is None:
        return f"{named} is not in the desk any more."
    path = desk.folder / FOLDER / row.file
    try:
        digest = _digest(desk, path)
    except OSError as error:
        return f"{named}, kept as {row.file}, cannot be read: {error.strerror}."
    if digest not in (None, event.body["sha256"]):
        return f"{named}, kept as {row.file}, is not what was kept."
    return ""


def _digest(desk: Desk, path: Path) -> str | None:
    """The digest of what a photo holds; None where it is sealed and the codes are locked. Raises OSError."""
    with path.open("rb") as file:
        if path.suffix != SEALED:
            return hashlib.file_digest(file, "sha256").hexdigest()
        content = file.read()
    try:
        desk.sealer.data_key()
    except NoKey:
        return None
    try:
        return hashlib.sha256(desk.sealer.open_bytes(content, f"photo {path.name}")).hexdigest()
    except NoKey:
        return ""
