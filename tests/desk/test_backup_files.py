"""Photos and the house's own wording come back from a backup and from an archive, and what is not whole is named."""

from __future__ import annotations

import json
import os
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk import backups, house_wording, photos
from breakdesk.desk.archive import Archived, archive, unarchive
from breakdesk.desk.checking import verify
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.problems import Problem
from breakdesk.store import backup_files
from breakdesk.store.archiving import FILES_FOLDER, SCHEMA_FILE, tables_and_digests
from breakdesk.store.backups import Taken, backups_folder
from breakdesk.store.kept_files import digest_of, is_safe
from breakdesk.store.sealing import key_path

pytestmark = pytest.mark.about_files
World = Any
PLAIN = b"\x89PNG\r\n\x1a\n" + b"a scratched corner " * 40
SECRET = b"\x89PNG\r\n\x1a\n" + b"the code is MOSS-1-QUARTZ " * 50
TEXT = "Hello from the house.\n"


@pytest.fixture
def furnished(new_world: Callable[[], World], tmp_path: Path) -> World:
    """A world with a photo, a photo that shows a code, and wording of the house's own, once replaced."""
    world = new_world()
    world.tag = world.pull()
    for name, content, what in (("a.png", PLAIN, "condition"), ("b.png", SECRET, photos.SHOWS_CODE)):
        (tmp_path / name).write_bytes(content)
        world.done(photos.keep_photos(world.desk, world.tag, [tmp_path / name], what))
    for text in ("Once.\n", TEXT):
        world.done(house_wording.save(world.desk, "subject", text))
    return world


def taken(world: World) -> Taken:
    made = backups.back_up(world.desk.path, world.desk.clock)
    assert isinstance(made, Taken), made
    return made


def photo_file(world: World, *, sealed: bool = False) -> Path:
    kept = photos.photos_of(world.desk, world.claim(world.tag).id)
    return next(photo.path for photo in kept if (photo.path.suffix == photos.SEALED) == sealed)


def opened_with_the_key(new: Path, world: World) -> Desk:
    key_path(new).write_bytes(key_path(world.desk.path).read_bytes())
    return open_desk(new, world.desk.clock)


def all_is_there(desk: Desk, world: World) -> None:
    """The copy has what the desk had, the sealed photo sealed."""
    kept = photos.photos_of(desk, world.claim(world.tag).id)
    assert [photo.whole for photo in kept] == [True, True]
    assert [photos.photo_content(desk, photo) for photo in kept] == [PLAIN, SECRET]
    assert house_wording.wording(desk, "subject").text == TEXT
    assert [version.text for version in house_wording.versions(desk, "subject")] == ["Once.\n"]
    assert list(verify(desk)) == []


def all_bytes(folder: Path) -> bytes:
    return b"".join(path.read_bytes() for path in folder.rglob("*") if path.is_file())


def test_a_restore_brings_photos_and_wording_back_and_keeps_the_sealed_sealed(furnished: World, tmp_path: Path) -> None:
    made = taken(furnished)
    assert made.notes == ()
    assert b"MOSS-1-QUARTZ" not in all_bytes(backups_folder(furnished.desk.path))
    new = tmp_path / "new" / "other.db"
    restored = backups.restore(made.path, new, furnished.desk.path)
    assert isinstance(restored, backups.Restored)
    assert restored.missing == ()
    copy = opened_with_the_key(new, furnished)
    all_is_there(copy, furnished)
    copy.close()


def test_a_backup_by_name_stands_for_itself(furnished: World, tmp_path: Path) -> None:
    target = tmp_path / "stick" / "desk.backup"
    assert isinstance(backups.back_up(furnished.desk.path, furnished.desk.clock, target), Taken)
    moved = (tmp_path / "stick").rename(tmp_path / "other stick")
    assert isinstance(
        backups.restore(moved / "desk.backup", tmp_path / "new.db", furnished.desk.path), backups.Restored
    )
    copy = opened_with_the_key(tmp_path / "new.db", furnished)
    all_is_there(copy, furnished)
    copy.close()


def copies(world: World) -> set[str]:
    """The names of what the backups share."""
    folder = backups_folder(world.desk.path) / backup_files.STORE
    return {path.name for path in folder.iterdir() if path.suffix != backup_files.LIST_SUFFIX}


def test_what_backups_share_is_kept_once_and_goes_with_the_last_that_names_it(furnished: World) -> None:
    folder = backups_folder(furnished.desk.path) / backup_files.STORE
    taken(furnished)
    before = copies(furnished)
    furnished.later(hours=1)
    taken(furnished)
    assert copies(furnished) == before
    furnished.done(house_wording.save(furnished.desk, "subject", "A third.\n"))
    for path in furnished.desk.folder.glob("template versions/**/*.txt"):
        path.unlink()
    for path in folder.iterdir():
        os.utime(path, (time.time() - 7200, time.time() - 7200))
    furnished.later(days=800)
    taken(furnished)
    furnished.later(days=40)
    taken(furnished)
    assert len(copies(furnished)) == 3, "two photos and one text"
    assert [faults for _, faults in backups.list_backups(furnished.desk.path)] == [[]] * 2


@pytest.mark.parametrize("sealed", [False, True])
@pytest.mark.parametrize("spoil", [Path.unlink, lambda path: path.write_bytes(b"spoilt")])
def test_a_photo_that_was_lost_or_changed_is_named_and_kept_as_it_was(
    furnished: World, tmp_path: Path, sealed: bool, spoil: Callable[[Path], None]
) -> None:
    taken(furnished)
    furnished.later(hours=2)
    spoilt = photo_file(furnished, sealed=sealed)
    spoil(spoilt)
    assert any(spoilt.name in sentence for sentence in verify(furnished.desk))
    made = taken(furnished)
    assert len(made.notes) == 1
    assert spoilt.name in made.notes[0]
    assert "as it was" in made.notes[0]
    new = tmp_path / "new.db"
    assert isinstance(backups.restore(made.path, new, furnished.desk.path), backups.Restored)
    copy = opened_with_the_key(new, furnished)
    all_is_there(copy, furnished)
    copy.close()


def test_a_copy_that_rots_is_named_left_out_and_made_anew_the_next_day(furnished: World, tmp_path: Path) -> None:
    first = taken(furnished)
    folder = backups_folder(furnished.desk.path) / backup_files.STORE
    rotten = folder / digest_of(photo_file(furnished))
    rotten.write_bytes(b"x" * rotten.stat().st_size)
    ((_, faults),) = backups.list_backups(furnished.desk.path)
    assert len(faults) == 1
    assert photo_file(furnished).name in faults[0]
    restored = backups.restore(first.path, tmp_path / "new.db", furnished.desk.path)
    assert isinstance(restored, backups.Restored)
    assert [photo_file(furnished).name in sentence for sentence in restored.missing] == [True]
    listed = backup_files.list_path(first.path)
    os.utime(listed, (time.time() - 90_000, time.time() - 90_000))
    furnished.later(days=1)
    taken(furnished)
    assert [faults for _, faults in backups.list_backups(furnished.desk.path)] == [[], []]


def test_a_backup_without_its_list_comes_back_and_says_what_is_missing(furnished: World, tmp_path: Path) -> None:
    made = taken(furnished)
    backup_files.list_path(made.path).write_text("[" * 90_000)
    restored = backups.restore(made.path, tmp_path / "a.db", furnished.desk.path)
    assert isinstance(restored, backups.Restored)
    assert len(restored.missing) == 3
    backup_files.list_path(made.path).unlink()
    restored = backups.restore(made.path, tmp_path / "b.db", furnished.desk.path)
    assert isinstance(restored, backups.Restored)
    assert len(restored.missing) == 2
    copy = open_desk(tmp_path / "b.db")
    assert len([sentence for sentence in verify(copy) if "photo" in sentence]) == 2
    copy.close()


def test_what_cannot_go_along_is_pointed_out(furnished: World) -> None:
    if os.name == "nt":
        pytest.skip("no such names there")
    (furnished.desk.folder / "templates" / "what?.txt").write_text("x")
    (furnished.desk.folder / "templates" / "link.txt").symlink_to(key_path(furnished.desk.path))
    assert [note.split(" is not")[0] for note in taken(furnished).notes] == [
        "templates/link.txt",
        "templates/what?.txt",
    ]


@pytest.mark.parametrize("form", ["json", "csv"])
def test_an_archive_brings_photos_and_wording_back(furnished: World, tmp_path: Path, form: str) -> None:
    done = archive(furnished.desk.path, tmp_path / "open", furnished.desk.clock, form)
    assert isinstance(done, Archived)
    assert b"MOSS-1-QUARTZ" not in all_bytes(tmp_path / "open")
    new = tmp_path / "new.db"
    back = unarchive(tmp_path / "open", new)
    assert isinstance(back, Archived), back
    assert back.missing == ()
    assert tables_and_digests(new) == tables_and_digests(furnished.desk.path)
    copy = opened_with_the_key(new, furnished)
    all_is_there(copy, furnished)
    copy.close()


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda folder: next(folder.glob("photos/*.png")).write_bytes(b"x"), "was changed since it was written"),
        (lambda folder: next(folder.glob("photos/*.sealed")).unlink(), "is missing"),
        (lambda folder: _rename(folder, "../../outside.txt"), "names one that no desk has"),
        (lambda folder: _rename(folder, "photos/../../outside.txt"), "names one that no desk has"),
        (lambda folder: _rename(folder, "/tmp/outside.txt"), "names one that no desk has"),
        (lambda folder: _rename(folder, "photos/con.txt"), "names one that no desk has"),
        (lambda folder: _rename(folder, 7), "names one that no desk has"),
    ],
)
def test_a_spoilt_file_of_an_archive_is_named_and_nothing_is_made(
    furnished: World, tmp_path: Path, spoil: Callable[[Path], None], said: str
) -> None:
    assert isinstance(archive(furnished.desk.path, tmp_path / "open", furnished.desk.clock), Archived)
    spoil(tmp_path / "open" / FILES_FOLDER)
    problem = unarchive(tmp_path / "open", tmp_path / "here" / "new.db")
    assert isinstance(problem, Problem)
    assert said in problem.what
    assert list((tmp_path / "here").iterdir()) == []


def _rename(folder: Path, name: object) -> None:
    path = folder.parent / SCHEMA_FILE
    schema = json.loads(path.read_text())
    schema["files"][0]["name"] = name
    path.write_text(json.dumps(schema))


def test_a_folder_that_is_in_the_way_is_left_alone(furnished: World, tmp_path: Path) -> None:
    mine = tmp_path / "new files"
    mine.mkdir()
    (mine / "mine.txt").write_text("mine")
    assert isinstance(archive(furnished.desk.path, tmp_path / "open", furnished.desk.clock), Archived)
    for refused in (
        backups.restore(taken(furnished).path, tmp_path / "new.db", furnished.desk.path),
        unarchive(tmp_path / "open", tmp_path / "new.db"),
    ):
        assert isinstance(refused, Problem)
        assert "is there already" in refused.what
    assert [path.name for path in mine.iterdir()] == ["mine.txt"]


@pytest.mark.parametrize(
    ("name", "safe"),
    [
        ("photos/00000001-0a1b2c.png.sealed", True),
        ("templates/de/warm/news_shipped.txt", True),
        ("columns/Märchen sheet (2).json", True),
        ("photos", False),
        ("backups/x.backup", False),
        ("photos//x", False),
        ("photos/.hidden", False),
        ("photos/x\\y", False),
        ("photos/x.", False),
        ("photos/C:x", False),
        ("photos/NUL", False),
        ("photos/x\n", False),
        ("photos/" + "x" * 500, False),
        ("photos" + "/x" * 9, False),
    ],
)
def test_only_names_that_lead_nowhere_else_are_safe(name: str, safe: bool) -> None:
    assert is_safe(name) is safe
