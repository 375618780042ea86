"""Everything held about a person given out, and erased from the bytes of the desk, with the history whole."""

from __future__ import annotations

import json
import stat
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from breakdesk.desk import following, viewing
from breakdesk.desk.arriving import InHand, in_hand
from breakdesk.desk.bulk import Wanted, choose
from breakdesk.desk.checking import verify
from breakdesk.desk.erasing import erase, held_about, tidy, write_held
from breakdesk.desk.loading import load_files
from breakdesk.desk.merging import merge
from breakdesk.desk.parcel_details import Contents, send_to, set_contents
from breakdesk.desk.people import confirm_address, promise
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.settling import Close, close
from breakdesk.desk.shipping import start_parcel
from breakdesk.desk.submitting import Submit, submit
from breakdesk.desk.telling import mark_told, telling_for
from breakdesk.desk.transferring import Transfer, transfer
from breakdesk.store import history, models
from tests.desk.conftest import World

TRACES = ("Quenby", "quenz", "Quenzonair", "quenby@mail.example", "555 0177", "Larkspur", "Zebedee")


@pytest.fixture
def known(world: World, reach: Callable[..., int], tmp_path: Path) -> World:
    """A participant loaded from a file of whom the desk knows everything it can know."""
    path = tmp_path / "participants.csv"
    path.write_text(
        "participant,handle,on_air_name,email,phone,address,address_country\n"
        "Quenby Zebedee,@quenz,Quenzonair,quenby@mail.example,+1 555 0177,9 Larkspur Way,US\n"
    )
    assert load_files(world.desk, [path]).saved
    world.people["Quenby"] = models.Participant.get(models.Participant.name == "Quenby Zebedee").id
    tag = world.pull("Quenby")
    world.tag = tag  # type: ignore[attr-defined]
    key = world.people["Quenby"]
    telling = telling_for(world.desk, key)
    world.done(mark_told(world.desk, key, telling.claim_ids, "direct", telling.message.whole, "t"))
    world.done(following.note(world.desk, tag, "They want it sleeved twice"))
    world.done(confirm_address(world.desk, "@quenz", "10 Larkspur Way", "US"))
    world.done(promise(world.desk, "@quenz", world.now.date().replace(day=30), "Call Quenby back"))
    world.done(following.hold_person(world.desk, "@quenz", on=True, reason="A dispute"))
    world.done(following.hold_person(world.desk, "@quenz", on=False))
    other = world.pull("Bo")
    world.done(following.note(world.desk, other, "Swapped with @quenz in the chat"))
    world.done(following.note(world.desk, other, "A note about nobody"))
    models.Setting.create(name="half typed", value="quenz kit moor")
    models.Setting.create(name="half typed elsewhere", value="somebody else")
    return world


def traces(world: World) -> list[str]:
    """Which of the traces stand in the bytes of the desk's files."""
    found = b"".join(path.read_bytes() for path in world.desk.path.parent.glob("desk.db*"))
    return [trace for trace in TRACES if trace.casefold().encode() in found.lower()]


@pytest.mark.about_files
def test_nothing_is_left_but_a_number_and_the_history_is_whole(known: World) -> None:
    world, key = known, known.people["Quenby"]
    assert traces(world) == list(TRACES)
    actions = models.Action.select().count()
    refused = world.refused(lambda: erase(world.desk, "@quenz"))
    assert "1 claim is still owed" in refused.what
    done = world.done(erase(world.desk, "@quenz", although_owed=True))
    assert done.warnings == ()
    assert f"Erased participant {key}" in done.said
    assert traces(world) == []
    assert list(verify(world.desk)) == []
    assert models.Action.select().count() == actions + 1
    row = models.Participant.get_by_id(key)
    assert (row.name, row.handle, row.opted_out, row.erased_on) == (
        f"Erased participant {key}", "", True, world.now.date(),
    )  # fmt: skip
    assert world.claim(world.tag).owner_id == key  # type: ignore[attr-defined]
    assert viewing.search(world.desk, "quenz").people == ()
    assert key not in [item.person_id for item in choose(world.desk, Wanted())]
    world.refused(lambda: erase(world.desk, f"Erased participant {key}"))
    assert isinstance(tidy(world.desk), Done)


def test_texts_about_others_stay(known: World) -> None:
    world = known
    world.done(erase(world.desk, "@quenz", although_owed=True))
    kept = {row.text for row in models.FreeText.select().where(models.FreeText.text.is_null(False))}
    assert "A note about nobody" in kept
    assert not kept & {"They want it sleeved twice", "A dispute", "Call Quenby back", "Swapped with @quenz in the chat"}
    assert [row.name for row in models.Setting.select().where(models.Setting.name.contains("half"))] == [
        "half typed elsewhere"
    ]
    assert models.Setting.get_or_none(models.Setting.name == f"loaded participant {world.people['Quenby']}") is None


@pytest.mark.about_files
def test_what_was_written_on_their_parcels_goes_with_them(known: World) -> None:
    world, tag = known, known.tag  # type: ignore[attr-defined]
    world.done(submit(world.desk, Submit(tag=tag, reference="R1")))
    world.done(in_hand(world.desk, InHand(tag=tag)))
    world.done(start_parcel(world.desk, (tag,)))
    parcel = int(models.Parcel.get(models.Parcel.participant == world.people["Quenby"]).id)
    world.done(send_to(world.desk, parcel, "Aunt Hedda", "99 Elsewhere Lane", "US"))
    world.done(set_contents(world.desk, parcel, Contents(gift_note="For Wilhelmina")))
    world.done(set_contents(world.desk, parcel, Contents(gift_note="")))
    assert b"Wilhelmina" in world.desk.path.with_name("desk.db-wal").read_bytes()
    world.done(erase(world.desk, "@quenz", although_owed=True))
    found = b"".join(path.read_bytes() for path in world.desk.path.parent.glob("desk.db*"))
    assert b"Wilhelmina" not in found
    assert b"Elsewhere Lane" not in found


@pytest.mark.about_files
def test_what_was_owed_once_does_not_hinder(known: World) -> None:
    world = known
    ending = Close(tag=world.tag, how="refunded", amount="5", fault="house")  # type: ignore[attr-defined]
    world.done(close(world.desk, ending))
    world.done(erase(world.desk, "@quenz"))
    assert traces(world) == []


@pytest.mark.about_files
def test_a_record_that_was_merged_goes_with_it(known: World) -> None:
    world = known
    world.done(merge(world.desk, "@quenz", "Cy Wold"))
    world.done(erase(world.desk, "Cy Wold", although_owed=True))
    assert traces(world) == []
    assert models.Participant.select().where(models.Participant.erased_on.is_null(False)).count() == 2


def test_what_the_next_owner_is_told_stays(known: World) -> None:
    world = known
    world.later(days=1)
    tag: str = world.tag  # type: ignore[attr-defined]
    world.done(transfer(world.desk, Transfer(tag=tag, to="Bo Larch", how="sold", knew_code=False, reason="Sold it")))
    world.done(following.note(world.desk, tag, "For the new owner"))
    world.done(erase(world.desk, "@quenz"))
    kept = {row.text for row in models.FreeText.select().where(models.FreeText.text.is_null(False))}
    assert "For the new owner" in kept
    assert "Sold it" not in kept


def test_everything_held_is_given_out_first(known: World, tmp_path: Path) -> None:
    world = known
    path = tmp_path / "held.json"
    assert write_held(world.desk, "@quenz", path) == path
    said = path.read_text(encoding="utf-8")
    assert [trace for trace in TRACES if trace.casefold() not in said.casefold()] == []
    held = json.loads(said)
    assert [claim["tag"] for claim in held["claims"]] == [world.tag]  # type: ignore[attr-defined]
    assert held["records"][0]["addresses"][-1]["address"] == "10 Larkspur Way"
    assert held["messages"][0]["text"] == history.text_of(models.Telling.get().text_id)
    assert [note["text"] for note in held["notes"] if note["text"]] == ["A dispute"]
    assert "Bo Larch" not in said
    if sys.platform != "win32":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert isinstance(write_held(world.desk, "@quenz", path), Problem)
    assert isinstance(held_about(world.desk, "Nobody"), Problem)


def test_hostile_text_in_what_is_held_acts_on_no_terminal(known: World, tmp_path: Path) -> None:
    hostile = "=1+1 \x1b[31m \u202e <b> {{ x }}"
    models.Participant.update(on_air_name=hostile).where(models.Participant.id == known.people["Ada"]).execute()
    path = tmp_path / "held.json"
    assert write_held(known.desk, "Ada Fenn", path) == path
    content = path.read_bytes()
    assert b"\x1b" not in content
    assert "\u202e".encode() not in content
    assert json.loads(content)["records"][0]["on_air_name"] == hostile
