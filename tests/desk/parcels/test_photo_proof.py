"""A kept photo does what asks for a photo: the packing step of its card, and the maker's piece of evidence."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from breakdesk.desk import arriving, damage, photos, shipping, submitting, undoing
from breakdesk.desk.checking import verify
from breakdesk.desk.retelling import story_of
from breakdesk.desk.viewing import claim_view
from breakdesk.store import models


def picture(folder: Path, name: str = "front.png") -> Path:
    path = folder / name
    path.write_bytes(b"\x89PNG\r\n\x1a\n" + name.encode())
    return path


def here(world: Any) -> str:
    tag: str = world.pull("Ada")
    world.done(submitting.submit(world.desk, submitting.Submit(tag=tag)))
    world.done(arriving.in_hand(world.desk, arriving.InHand(tag=tag)))
    return tag


def photo_step() -> models.ParcelStep:
    (step,) = (row for row in models.ParcelStep.select() if "photo" in row.name)
    return step


def test_a_photo_while_packing_ticks_its_step_and_the_history_says_so(world: Any, tmp_path: Path) -> None:
    tag = here(world)
    world.done(shipping.start_parcel(world.desk, [tag]))
    assert photo_step().done_at is None
    done = world.done(photos.keep_photos(world.desk, tag, [picture(tmp_path)]))
    assert "packing step is ticked" in done.said
    assert (photo_step().done_at, photo_step().who) == (world.now, "T")
    view = claim_view(world.desk, tag)
    assert any("its packing step was ticked" in line.said for line in story_of(world.desk, view.events))
    undone = world.done(undoing.undo(world.desk, done.key))
    assert (photo_step().done_at, photo_step().who) == (None, "")
    world.done(undoing.undo(world.desk, undone.key))
    assert photo_step().done_at is not None
    assert list(verify(world.desk)) == []


def test_a_photo_from_the_arrival_counts_while_packing_with_its_time(world: Any, tmp_path: Path) -> None:
    tag = here(world)
    world.done(photos.keep_photos(world.desk, tag, [picture(tmp_path)]))
    taken = world.now
    world.later(days=1)
    world.done(shipping.start_parcel(world.desk, [tag]))
    assert (photo_step().done_at, photo_step().who) == (taken, "T")


def test_a_photo_of_something_else_ticks_nothing(world: Any, tmp_path: Path) -> None:
    tag = here(world)
    world.done(photos.keep_photos(world.desk, tag, [picture(tmp_path)], photos.SHOWS_CODE))
    world.done(shipping.start_parcel(world.desk, [tag]))
    world.done(photos.keep_photos(world.desk, tag, [picture(tmp_path, "wrapper.png")], "the envelope"))
    assert photo_step().done_at is None


def test_photos_of_a_piece_of_evidence_bring_it_once(world: Any, tmp_path: Path) -> None:
    tag = here(world)
    world.done(damage.came_damaged(world.desk, tag, "a crease"))
    (claim,) = models.Claim.select().where(models.Claim.kind == "damage")
    both = [picture(tmp_path), picture(tmp_path, "nearer.png")]
    done = world.done(photos.keep_photos(world.desk, claim.tag, both, "photo of the front"))
    assert "photo of the front is here" in done.said
    view = damage.evidence_view(world.desk, claim.tag)
    assert (view.got, view.photos) == (("photo of the front",), 2)
    world.done(undoing.undo(world.desk, done.key))
    assert "photo of the front" in damage.evidence_view(world.desk, claim.tag).missing
    assert list(verify(world.desk)) == []
