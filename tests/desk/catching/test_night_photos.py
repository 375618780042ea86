"""Phone photos of a night are matched, shown, and kept with their claims in one action."""

from __future__ import annotations

import os
from datetime import timedelta
from pathlib import Path

from PIL import Image

from breakdesk.desk.night_photos import NightPhotos, keep_night_photos, night_photos
from breakdesk.desk.photos import SHOWS_CODE, photo_content, photos_of
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.undoing import undo

from .conftest import Night


def photographed(night: Night, folder: Path, name: str, seconds: int) -> Path:
    """A photo taken so many seconds from now by the night's clock."""
    path = folder / name
    shade = sum(map(ord, name)) % 250
    Image.new("RGB", (8, 8), (shade, shade, shade)).save(path)
    moment = (night.tell[0] + timedelta(seconds=seconds)).timestamp()
    os.utime(path, (moment, moment))
    return path


def test_photos_are_matched_and_kept_sealed_in_one_action(night: Night, tmp_path: Path) -> None:
    folder = tmp_path / "phone"
    folder.mkdir()
    first = night.caught("marl")
    photographed(night, folder, "1.png", 20)
    night.wait(300)
    second = night.caught("oster")
    photographed(night, folder, "2.png", 15)
    photographed(night, folder, "3.png", 25)
    found = night_photos(night.desk, night.break_id, folder)
    assert isinstance(found, NightPhotos)
    assert [claim.id for claim in found.claims] == [first.id, second.id]
    assert found.matched.places == (0, 1, 1)
    assert photos_of(night.desk, first.id) == ()

    slow = night_photos(night.desk, night.break_id, folder, ahead=-400)
    assert isinstance(slow, NightPhotos)
    assert slow.matched.places == (1, 1, 1) or "pile" in slow.matched.how

    pairs = [(found.claims[place or 0].id, photo.path) for photo, place in zip(found.photos, (0, 1, 1), strict=True)]
    done = keep_night_photos(night.desk, pairs)
    assert isinstance(done, Done), done
    assert done.said == "3 photos of 2 claims kept."
    (kept,) = photos_of(night.desk, first.id)
    assert (kept.what, kept.whole) == (SHOWS_CODE, True)
    assert (folder / "1.png").read_bytes() not in kept.path.read_bytes()
    assert photo_content(night.desk, kept) == (folder / "1.png").read_bytes()
    assert len(photos_of(night.desk, second.id)) == 2
    assert done.key is not None
    assert isinstance(undo(night.desk, done.key), Done)
    assert photos_of(night.desk, first.id) == ()


def test_what_cannot_be_kept_leaves_no_copy(night: Night, tmp_path: Path) -> None:
    claim = night.caught("marl")
    (tmp_path / "broken.jpg").write_bytes(b"nothing")
    good = photographed(night, tmp_path, "good.png", 5)
    result = keep_night_photos(night.desk, [(claim.id, good), (claim.id, tmp_path / "broken.jpg")])
    assert isinstance(result, Problem)
    assert not list((night.desk.folder / "photos").glob("*"))
    assert isinstance(keep_night_photos(night.desk, []), Problem)
    assert isinstance(night_photos(night.desk, night.break_id, tmp_path / "nowhere"), Problem)
