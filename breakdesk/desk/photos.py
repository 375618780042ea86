"""Photos by path: copied into the desk's folder under names of ours, with the digest of what they hold.

One that shows a code is sealed like the code itself: whoever can read it can take the card.
"""

from __future__ import annotations

import hashlib
import os
import secrets
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

from breakdesk.desk.acting import Act, act
from breakdesk.desk.codes import KEY_REMEDY
from breakdesk.desk.desk import Desk
from breakdesk.desk.finding import claim_named
from breakdesk.desk.photo_proof import CONDITION, evidence_by_photo, tick_by_photo
from breakdesk.desk.problems import Done, Problem, Result, refuse
from breakdesk.rules.story import active
from breakdesk.rules.wording import counted
from breakdesk.store import history, models
from breakdesk.store.kept_files import to_disk
from breakdesk.store.sealing import NoKey

FOLDER: Final = "photos"
SHOWS_CODE: Final = "code"
"""What is said of a photo that shows a claim's code; such a photo is sealed."""
SEALED: Final = ".sealed"
LARGEST_PHOTO: Final = 40 * 1024 * 1024
_AT_ONCE: Final = 1024 * 1024
# How a picture begins (the formats' own specifications: ISO/IEC 15948, ITU-T T.81; the others from memory).
_BEGINNINGS: Final = {
    b"\x89PNG\r\n\x1a\n": ".png",
    b"\xff\xd8\xff": ".jpg",
    b"GIF8": ".gif",
    b"BM": ".bmp",
    b"II*\x00": ".tif",
    b"MM\x00*": ".tif",
}


@dataclass(frozen=True, slots=True)
class KeptPhoto:
    """A photo of a claim: what it shows, where its copy stands, and whether that is still what was kept."""

    what: str
    path: Path
    digest: str
    whole: bool
    """False also for a sealed photo while the desk's codes are locked."""


def keep_photos(desk: Desk, tag: str, paths: Sequence[Path], what: str = CONDITION, key: int | None = None) -> Result:
    """Copies photos of a claim's card into the desk's folder; the originals may go."""
    copies: list[Path] = []

    def work(a: Act) -> str:
        claim = claim_named(a, tag)
        said = add_photos(a, claim.id, paths, what, copies)
        return " ".join([f"{counted(len(copies), 'photo')} of {claim.tag} kept.", *said])

    result = act(desk, "photo", work, key)
    if not isinstance(result, Done):
        for copy in copies:
            copy.unlink(missing_ok=True)
    return result


def add_photos(a: Act, claim_id: int, paths: Sequence[Path], what: str, copies: list[Path]) -> list[str]:
    """Copies photos inside an action; one that was kept for the claim before is left out.

    `copies` is filled as they are written, so that the caller can take them away if the action fails. Returns
    sentences about what else they did: a packing step that is ticked by them, a piece of evidence that is here.
    """
    if not paths:
        raise refuse("No photo was named.", "Name at least one file.")
    label = " ".join(what.split())[:60] or CONDITION
    claim = a.claim(claim_id)
    table = models.Photo
    steps: list[int] = []
    before = len(copies)
    for path in paths:
        content, ending = _picture(path)
        digest = hashlib.sha256(content).hexdigest()
        known = table.get_or_none(table.claim_id == claim_id, table.digest == digest)
        if known is not None and (a.desk.folder / FOLDER / known.file).exists():
            a.warnings.append(f"{path.name} is kept with {claim.tag} already.")
            continue
        name = f"{claim_id:08}-{secrets.token_hex(6)}{ending}"
        if label == SHOWS_CODE:
            name += SEALED
            content = _sealed(a.desk, name, content)
        copies.append(_written(a.desk.folder / FOLDER, name, content))
        row = table.create(claim_id=claim_id, what=label, file=name, digest=digest, recorded_at=a.desk.clock.now())
        body: dict[str, object] = {"photo": int(row.id), "what": label, "sha256": digest}
        if ticked := tick_by_photo(a, claim, label):
            body["steps"] = ticked
            steps += ticked
        a.add_in_order(claim, "photo", body)
    piece = evidence_by_photo(a, claim, label) if len(copies) > before else ""
    return ["Its packing step is ticked."] * bool(steps) + [f"Evidence: {piece} is here."] * bool(piece)


def _sealed(desk: Desk, name: str, content: bytes) -> bytes:
    try:
        return desk.sealer.seal_bytes(content, f"photo {name}")
    except NoKey:
        raise refuse(
            "The desk's codes are locked, and a photo that shows one is sealed with them.", KEY_REMEDY
        ) from None


def _picture(path: Path) -> tuple[bytes, str]:
    try:
        if path.stat().st_size > LARGEST_PHOTO:
            raise refuse(
                f"{path.name} is larger than {LARGEST_PHOTO // 1024 // 1024} MB.", "Save a smaller copy of it."
            )
        content = path.read_bytes()
    except (OSError, ValueError):
        raise refuse(f"{path.name} cannot be read.", "Check its folder and the spelling of its name.") from None
    ending = next((ending for start, ending in _BEGINNINGS.items() if content.startswith(start)), "")
    if content[4:8] == b"ftyp":
        ending = ".heic"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        ending = ".webp"
    if not ending:
        raise refuse(f"{path.name} is no picture that is known here.", "Save it as JPEG or PNG.")
    return content, ending


def _written(folder: Path, name: str, content: bytes) -> Path:
    folder.mkdir(parents=True, exist_ok=True, mode=0o700)
    path = folder / name
    # Only its owner reads it: a photo can show a code.
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0), 0o600)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        to_disk(folder)
    except OSError:
        path.unlink(missing_ok=True)
        raise
    return path


def photos_of(desk: Desk, claim_id: int) -> tuple[KeptPhoto, ...]:
    """The photos of a claim that count, oldest first, each held against its digest."""
    events = active(history.claim_events([claim_id])[claim_id])
    keys = [event.body["photo"] for event in events if event.kind == "photo"]
    table = models.Photo
    rows = table.select().where(table.id.in_(keys or [0])).order_by(table.id)
    return tuple(_kept(desk, row) for row in rows)


def _kept(desk: Desk, row: models.Photo) -> KeptPhoto:
    path = desk.folder / FOLDER / row.file
    photo = KeptPhoto(row.what, path, row.digest, False)
    if path.suffix != SEALED:
        return replace(photo, whole=_digest_of(path) == row.digest)
    content = photo_content(desk, photo)
    return replace(photo, whole=isinstance(content, bytes) and hashlib.sha256(content).hexdigest() == row.digest)


def photo_content(desk: Desk, photo: KeptPhoto) -> bytes | Problem:
    """What a photo holds, unsealed where it was sealed: for somebody who is off air."""
    try:
        content = photo.path.read_bytes()
        if photo.path.suffix != SEALED:
            return content
        return desk.sealer.open_bytes(content, f"photo {photo.path.name}")
    except OSError as error:
        return Problem(f"{photo.path.name} cannot be read: {error.strerror}.", "Copy it back from where it is kept.")
    except NoKey:
        return Problem("The desk's codes are locked, or the photo was changed.", KEY_REMEDY)


def _digest_of(path: Path) -> str:
    digest = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while part := file.read(_AT_ONCE):
                digest.update(part)
    except OSError:
        return ""
    return digest.hexdigest()


def save_copy(desk: Desk, photo: KeptPhoto, folder: Path) -> Path | Problem:
    """Writes what a photo holds into a folder, unsealed, under the same name; nothing is written over."""
    content = photo_content(desk, photo)
    if isinstance(content, Problem):
        return content
    try:
        return _written(folder, photo.path.name.removesuffix(SEALED), content)
    except OSError as error:
        return Problem(f"{photo.path.name} cannot be written: {error.strerror}.", "Name a new folder.")
