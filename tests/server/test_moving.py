"""A whole desk moved to a server and back: the same rows, sums and history; the source untouched; all or nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from engines import NO_SERVER, change_by_hand, new_database, server_address

from breakdesk.cli.running import run
from breakdesk.desk import entering, following, moving
from breakdesk.desk.checking import verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.codes import read_code
from breakdesk.desk.desk import open_desk
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.sample import add_stories, fill
from breakdesk.rules.entry import Reading
from breakdesk.rules.entry.reading import Field
from breakdesk.rules.ownership import Owner
from breakdesk.store import models
from breakdesk.store.archiving import tables_and_digests
from breakdesk.store.kept_files import files_folder
from breakdesk.store.server import driver
from breakdesk.store.server_address import kept_file
from tests.server.conftest import World

pytestmark = pytest.mark.skipif(server_address() is None, reason=NO_SERVER)


def empty_database(folder: Path) -> Path:
    """The path of an empty database."""
    address = new_database()
    with driver().connect(address) as connection:
        connection.execute("DROP SCHEMA public CASCADE")
        connection.execute("CREATE SCHEMA public")
    return kept_file(address, folder)


@pytest.fixture
def sample(tmp_path: Path) -> Path:
    """The sample desk in a file, with a photo's folder beside it."""
    path = tmp_path / "sample.db"
    desk = open_desk(path, create=True, who="T")
    assert fill(desk).saved
    add_stories(desk)
    desk.close()
    wording = files_folder(path) / "templates" / "hello.txt"
    wording.parent.mkdir(parents=True)
    wording.write_text("Hello.")
    return path


@pytest.mark.about_files
def test_there_and_back_is_the_same_desk(sample: Path, tmp_path: Path) -> None:
    before, content = tables_and_digests(sample), sample.read_bytes()
    server, back = empty_database(tmp_path / "there"), tmp_path / "back" / "desk.db"
    there = moving.move(sample, server)
    assert isinstance(there, moving.Moved), there
    assert sample.read_bytes() == content
    desk = open_desk(server, Clock(), who="T")
    assert list(verify(desk)) == []
    code = models.ClaimCode.select().first()
    assert isinstance(read_code(desk, code.claim_id), str)
    desk.close()
    returned = moving.move(server, back)
    assert isinstance(returned, moving.Moved), returned
    assert tables_and_digests(back) == before
    assert (files_folder(back) / "templates" / "hello.txt").read_text() == "Hello."


@pytest.mark.about_files
def test_keys_given_after_the_move_are_new(sample: Path, tmp_path: Path) -> None:
    server = empty_database(tmp_path / "there")
    assert isinstance(moving.move(sample, server), moving.Moved)
    desk = open_desk(server, Clock(), who="T")
    request = entering.Pull(break_id=None, reading=Reading(subjects=Field(("Kit Moor",))), owner=Owner.house())
    pulled = entering.pull(desk, request)
    assert isinstance(pulled, Done), pulled
    tag = models.Claim.get_by_id(pulled.claims[0]).tag
    assert isinstance(following.note(desk, tag, "soft corner"), Done)
    assert list(verify(desk)) == []
    desk.close()


@pytest.mark.about_files
def test_all_or_nothing(sample: Path, tmp_path: Path) -> None:
    server = empty_database(tmp_path / "there")
    change_by_hand(sample, "UPDATE action SET who = 'X' WHERE number = 2")
    refused = moving.move(sample, server)
    assert isinstance(refused, Problem)
    assert "its history does not hold" in refused.what
    again = moving.move(sample, tmp_path / "copy.db")
    assert isinstance(again, Problem)
    assert not (tmp_path / "copy.db").exists()
    change_by_hand(server, "CREATE TABLE recipe (id int)")
    busy = moving.move(sample, server)
    assert isinstance(busy, Problem)
    assert "holds something already" in busy.what
    assert isinstance(moving.move(sample, sample), Problem)
    assert isinstance(moving.move(tmp_path / "none.db", server), Problem)


def test_the_command_says_what_it_compared(world: World, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    world.pull(value=500)
    assert run(["move", str(world.desk.path), str(tmp_path / "copy.db")]) == 0
    said = capsys.readouterr().out
    assert "1 claim, 1 action in the history" in said
    assert "every sum" in said
    assert run(["--desk", str(tmp_path / "copy.db"), "verify"]) == 0
