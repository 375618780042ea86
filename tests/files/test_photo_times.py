"""When photos were taken, by the camera and by their files."""

from __future__ import annotations

import os
from datetime import UTC, datetime
from pathlib import Path

import pytest
from PIL import ExifTags, Image

from breakdesk.files.photo_times import CHANGED, EXIF_PART, TAKEN, TAKEN_OFFSET, photos_in

DENVER = "America/Denver"


def photo(path: Path, taken: str = "", offset: str = "", changed: str = "") -> Path:
    """A small picture with what a camera says of it."""
    picture = Image.new("RGB", (8, 8), "gray")
    exif = Image.Exif()
    details = exif.get_ifd(EXIF_PART)
    if taken:
        details[TAKEN] = taken
    if offset:
        details[TAKEN_OFFSET] = offset
    if changed:
        exif[CHANGED] = changed
    picture.save(path, exif=exif)
    os.utime(path, (1_750_000_000, 1_750_000_000))
    return path


def test_the_tags_are_those_of_the_standard() -> None:
    names = {TAKEN: "DateTimeOriginal", TAKEN_OFFSET: "OffsetTimeOriginal", CHANGED: "DateTime"}
    assert {tag: ExifTags.TAGS[tag] for tag in names} == names
    assert ExifTags.IFD.Exif == EXIF_PART


@pytest.mark.parametrize(
    ("said", "instant"),
    [
        ({"taken": "2026:06:15 19:30:05"}, datetime(2026, 6, 16, 1, 30, 5, tzinfo=UTC)),
        ({"taken": "2026:06:15 19:30:05", "offset": "-05:00"}, datetime(2026, 6, 16, 0, 30, 5, tzinfo=UTC)),
        ({"changed": "2026:01:15 12:00:00"}, datetime(2026, 1, 15, 19, 0, tzinfo=UTC)),
        # The clock jumps from 02:00 to 03:00: the first instant after it.
        ({"taken": "2026:03:08 02:30:00"}, datetime(2026, 3, 8, 9, 0, tzinfo=UTC)),
    ],
)
def test_the_camera_says_when(tmp_path: Path, said: dict[str, str], instant: datetime) -> None:
    photo(tmp_path / "a.jpg", **said)
    (found,) = photos_in(tmp_path, DENVER)
    assert (found.taken_at, found.by_camera) == (instant, True)


@pytest.mark.parametrize("taken", ["", "yesterday", "2026:13:40 99:00:00", "0000:00:00 00:00:00"])
def test_where_the_camera_says_nothing_the_file_does(tmp_path: Path, taken: str) -> None:
    photo(tmp_path / "a.jpg", taken)
    (tmp_path / "b.jpg").write_bytes(b"no picture at all")
    os.utime(tmp_path / "b.jpg", (1_750_000_060, 1_750_000_060))
    first, second = photos_in(tmp_path, DENVER)
    assert not first.by_camera
    assert (first.path.name, second.path.name) == ("a.jpg", "b.jpg")
    assert first.taken_at == datetime.fromtimestamp(1_750_000_000, UTC)


def test_they_stand_in_the_order_of_their_time_and_other_files_are_left_out(tmp_path: Path) -> None:
    photo(tmp_path / "b.jpg", "2026:06:15 19:30:05")
    photo(tmp_path / "a.JPEG", "2026:06:15 19:31:05")
    (tmp_path / "notes.txt").write_text("x", encoding="utf-8")
    assert [found.path.name for found in photos_in(tmp_path, DENVER)] == ["b.jpg", "a.JPEG"]


def test_a_folder_without_photos_is_said(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="holds no photo"):
        photos_in(tmp_path, DENVER)
    with pytest.raises(ValueError, match="cannot be read"):
        photos_in(tmp_path / "nowhere", DENVER)
