"""Photos that show a code are sealed at rest, and saved unsealed only on purpose."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk import photos, undoing
from breakdesk.desk.checking import verify
from breakdesk.desk.problems import Problem
from breakdesk.store import models
from breakdesk.store.sealing import NoKey, Sealer, key_path

World = Any
PICTURE = b"\x89PNG\r\n\x1a\n" + b"the code is MOSS-1-QUARTZ " * 50


@pytest.fixture
def picture(tmp_path: Path) -> Path:
    path = tmp_path / "card.png"
    path.write_bytes(PICTURE)
    return path


def test_a_photo_that_shows_a_code_stands_nowhere_in_the_clear(world: World, picture: Path, tmp_path: Path) -> None:
    tag = world.pull()
    world.done(photos.keep_photos(world.desk, tag, [picture], photos.SHOWS_CODE))
    picture.unlink()
    (kept,) = photos.photos_of(world.desk, world.claim(tag).id)
    assert kept.whole
    assert kept.path.suffix == photos.SEALED
    for path in world.desk.path.parent.rglob("*"):
        assert not path.is_file() or b"MOSS-1-QUARTZ" not in path.read_bytes()
    saved = photos.save_copy(world.desk, kept, tmp_path / "out")
    assert isinstance(saved, Path)
    assert saved.suffix == ".png"
    assert saved.read_bytes() == PICTURE
    assert isinstance(photos.save_copy(world.desk, kept, tmp_path / "out"), Problem)


def test_a_sealed_photo_that_was_changed_or_moved_is_noticed(world: World, picture: Path) -> None:
    tag = world.pull()
    world.done(photos.keep_photos(world.desk, tag, [picture], photos.SHOWS_CODE))
    key = world.claim(tag).id
    (kept,) = photos.photos_of(world.desk, key)
    content = kept.path.read_bytes()
    kept.path.write_bytes(content[:-1] + bytes([content[-1] ^ 1]))
    assert not photos.photos_of(world.desk, key)[0].whole
    assert isinstance(photos.photo_content(world.desk, kept), Problem)
    kept.path.unlink()
    assert isinstance(photos.photo_content(world.desk, kept), Problem)
    kept.path.write_bytes(content)


def test_without_the_key_nothing_is_kept_in_the_clear_instead(world: World, picture: Path) -> None:
    tag = world.pull()
    key_path(world.desk.path).unlink()
    refused = world.refused(lambda: photos.keep_photos(world.desk, tag, [picture], photos.SHOWS_CODE))
    assert "locked" in refused.what
    assert not list(world.desk.folder.rglob("*.png*"))


def test_other_photos_stay_as_they_are(world: World, picture: Path) -> None:
    tag = world.pull()
    world.done(photos.keep_photos(world.desk, tag, [picture]))
    (kept,) = photos.photos_of(world.desk, world.claim(tag).id)
    assert kept.path.read_bytes() == PICTURE
    assert photos.photo_content(world.desk, kept) == PICTURE


def _no_key() -> bytes:
    raise NoKey("locked")


class TestVerify:
    def test_a_photo_that_was_changed_or_is_gone_is_named(self, world: World, picture: Path) -> None:
        tag = world.pull()
        world.done(photos.keep_photos(world.desk, tag, [picture]))
        assert list(verify(world.desk)) == []
        (kept,) = photos.photos_of(world.desk, world.claim(tag).id)
        whole = kept.path.read_bytes()
        kept.path.write_bytes(whole + b"x")
        (said,) = verify(world.desk)
        assert (
            said
            == f"Claim {tag}: the photo of 2 March 2026 (condition), kept as {kept.path.name}, is not what was kept."
        )
        kept.path.unlink()
        (said,) = verify(world.desk)
        assert said.endswith("cannot be read: No such file or directory.")
        kept.path.write_bytes(whole)
        assert list(verify(world.desk)) == []

    def test_a_row_that_was_changed_with_its_photo_does_not_hide_it(self, world: World, picture: Path) -> None:
        tag = world.pull()
        world.done(photos.keep_photos(world.desk, tag, [picture]))
        (kept,) = photos.photos_of(world.desk, world.claim(tag).id)
        kept.path.write_bytes(b"another")
        models.Photo.update(digest=hashlib.sha256(b"another").hexdigest()).execute()
        assert len(list(verify(world.desk))) == 1
        kept.path.write_bytes(PICTURE)
        models.Photo.update(digest=kept.digest).execute()

    def test_a_sealed_photo_is_opened_where_it_can_be(self, world: World, picture: Path) -> None:
        tag = world.pull()
        world.done(photos.keep_photos(world.desk, tag, [picture], photos.SHOWS_CODE))
        assert list(verify(world.desk)) == []
        (kept,) = photos.photos_of(world.desk, world.claim(tag).id)
        sealed = kept.path.read_bytes()
        kept.path.write_bytes(sealed[:-1] + bytes([sealed[-1] ^ 1]))
        assert "is not what was kept" in next(verify(world.desk))
        assert list(verify(replace(world.desk, sealer=Sealer(_no_key)))) == []
        kept.path.write_bytes(sealed)

    def test_what_was_taken_back_counts_no_more(self, world: World, picture: Path) -> None:
        tag = world.pull()
        done = world.done(photos.keep_photos(world.desk, tag, [picture]))
        (kept,) = photos.photos_of(world.desk, world.claim(tag).id)
        kept.path.unlink()
        world.done(undoing.undo(world.desk, done.key))
        assert list(verify(world.desk)) == []
