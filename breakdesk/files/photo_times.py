"""When a photo was taken: what the camera wrote into it (Exif), else the time of its file."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Final

from breakdesk.rules.zones import first_instant_at

PHOTO_ENDINGS: Final = frozenset((".jpg", ".jpeg", ".png", ".heic", ".heif", ".tif", ".tiff", ".webp"))
MOST_IN_A_FOLDER: Final = 500
# CIPA DC-008 (Exif 2.32), 4.6.5 and 4.6.3: tag numbers from memory, and held against Pillow's table of names by a test.
EXIF_PART, TAKEN, TAKEN_OFFSET, CHANGED = 0x8769, 0x9003, 0x9011, 0x0132


@dataclass(frozen=True, slots=True)
class PhotoTime:
    """A photo's path, the instant at which it was taken, and whether the camera said so."""

    path: Path
    taken_at: datetime
    by_camera: bool


def photos_in(folder: Path, zone_name: str) -> list[PhotoTime]:
    """The photos of a folder, earliest first; a camera's time without an offset is one of the zone.

    Raises ValueError with a sentence for a folder that cannot be read, holds no photo, or far too many.
    """
    try:
        paths = [path for path in folder.iterdir() if path.suffix.casefold() in PHOTO_ENDINGS and path.is_file()]
        paths = [path for path in paths if not path.name.startswith(".")]
        if not paths:
            raise ValueError(
                f"{folder.name} holds no photo. Name the folder into which the phone's photos were copied."
            )
        if len(paths) > MOST_IN_A_FOLDER:
            raise ValueError(
                f"{folder.name} holds {len(paths):,} photos. Copy those of the night into one of their own."
            )
        found = [_time_of(path, zone_name) for path in paths]
    except OSError:
        raise ValueError("That folder cannot be read. Check the spelling of its path.") from None
    return sorted(found, key=lambda photo: (photo.taken_at, photo.path.name))


def _time_of(path: Path, zone_name: str) -> PhotoTime:
    taken = _by_camera(path, zone_name)
    if taken is not None:
        return PhotoTime(path, taken, True)
    return PhotoTime(path, datetime.fromtimestamp(path.stat().st_mtime, UTC), False)


def _by_camera(path: Path, zone_name: str) -> datetime | None:
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(path) as picture:
            exif = picture.getexif()
            details = exif.get_ifd(EXIF_PART)
    except (UnidentifiedImageError, OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        return None
    written = str(details.get(TAKEN) or exif.get(CHANGED) or "").strip("\x00 ")
    offset = str(details.get(TAKEN_OFFSET) or "").strip("\x00 ") if details.get(TAKEN) else ""
    return _instant(written, offset, zone_name)


def _instant(written: str, offset: str, zone_name: str) -> datetime | None:
    try:
        if offset:
            return datetime.strptime(f"{written} {offset}", "%Y:%m:%d %H:%M:%S %z").astimezone(UTC)
        # In the hour that the clock jumps over, the first instant after it is as near as can be.
        return first_instant_at(datetime.strptime(written, "%Y:%m:%d %H:%M:%S"), zone_name)  # noqa: DTZ007
    except (ValueError, OverflowError):
        return None
