"""Messages in files: one each, nothing written over, and told later exactly as they were written."""

from __future__ import annotations

import csv
import stat
import sys
from collections.abc import Callable
from email import message_from_bytes, policy
from pathlib import Path

import pytest

from breakdesk.desk.bulk_files import LIST, Form, ToWrite, Written, write_bulk
from breakdesk.desk.bulk_told import Marked, mark_list_told, take_list_back
from breakdesk.desk.checking import verify
from breakdesk.desk.correcting import correct
from breakdesk.desk.problems import Problem
from breakdesk.desk.retelling import story_of
from breakdesk.desk.submitting import Submit, submit
from breakdesk.desk.telling import telling_for
from breakdesk.store import history, models
from tests.desk.conftest import World

HOSTILE = "=cmd|'/c calc'!A1 {{ house }} \x1b[31m\u202e<b>\r\nBcc: all@mail.example"


@pytest.fixture
def keys(world: World, reach: Callable[..., int]) -> list[int]:
    """Three participants with a card each; one has a hostile name, handle and card."""
    found = [reach(name, email=f"{name.lower()}@mail.example") for name in ("Ada", "Bo", "Cy")]
    reach("Bo", name=HOSTILE, handle=HOSTILE)
    world.pull("Ada")
    world.pull("Bo", subject=HOSTILE)
    world.pull("Cy", subject="Åse Öberg")
    return found


def write(world: World, keys: list[int], out: Path, form: Form) -> Written:
    wanted = ToWrite(person_ids=keys, out=out, form=form, from_address="desk@corner.example")
    written = write_bulk(world.desk, wanted)
    assert isinstance(written, Written), written
    return written


def listed(path: Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("form", ["eml", "txt", "csv"])
def test_what_was_written_is_told_word_for_word_once(world: World, keys: list[int], tmp_path: Path, form: Form) -> None:
    out = tmp_path / ("out.csv" if form == "csv" else "out")
    assert write(world, keys, out, form).count == 3
    assert models.Telling.select().count() == 0
    channel = "email" if form == "eml" else ""
    expected = {key: telling_for(world.desk, key, channel=channel).message.whole for key in keys}
    # What happens between the writing and the telling is not in the files, so it is not told either.
    world.later(days=1)
    world.done(correct(world.desk, world.claims((3,))[0].tag, "subject", "Somebody Else"))
    for _ in range(2):
        assert mark_list_told(world.desk, out) == Marked(3, ())
    assert {row.participant_id: history.text_of(row.text_id) for row in models.Telling.select()} == expected


def test_all_of_them_are_taken_back_in_one_go_and_told_again(world: World, keys: list[int], tmp_path: Path) -> None:
    out = tmp_path / "out"
    write(world, keys, out, "txt")
    assert take_list_back(world.desk, out).problems == tuple(  # type: ignore[union-attr]
        f"Line {line}: it does not count as told." for line in (2, 3, 4)
    )
    untold = {claim.id: claim.news for claim in world.claims((1, 2, 3))}
    for _ in range(2):
        assert mark_list_told(world.desk, out) == Marked(3, ())
        assert {claim.id: claim.news for claim in world.claims((1, 2, 3))} != untold
        assert take_list_back(world.desk, out) == Marked(3, ())
        assert {claim.id: claim.news for claim in world.claims((1, 2, 3))} == untold
    assert mark_list_told(world.desk, out) == mark_list_told(world.desk, out) == Marked(3, ())
    assert models.Telling.select().where(models.Telling.undone == False).count() == 3  # noqa: E712
    assert list(verify(world.desk)) == []


@pytest.mark.parametrize("form", ["eml", "csv"])
def test_news_that_came_after_the_files_were_written_stays_to_be_told(
    world: World, keys: list[int], tmp_path: Path, form: Form
) -> None:
    out = tmp_path / ("out.csv" if form == "csv" else "out")
    tag = world.claims((1,))[0].tag
    write(world, keys, out, form)
    world.later(days=1)
    world.done(submit(world.desk, Submit(tag=tag, reference="R1")))
    assert mark_list_told(world.desk, out) == Marked(3, ())
    assert [world.claims((key,))[0].news != () for key in (1, 2, 3)] == [True, False, False]
    assert world.news(tag) == {keys[0]: "submitted"}
    assert world.claim(tag).last_told_on == world.now.date()
    assert "told Ada Fenn, but not the latest news" in [
        line.said for line in story_of(world.desk, history.claim_events([1])[1])
    ]
    assert take_list_back(world.desk, out) == Marked(3, ())
    assert world.news(tag) == {keys[0]: "submitted"}
    assert list(verify(world.desk)) == []


@pytest.mark.skipif(sys.platform == "win32", reason="the rights of files are others there")
def test_only_their_owner_can_read_them(world: World, keys: list[int], tmp_path: Path) -> None:
    write(world, keys, tmp_path / "out", "txt")
    for path in [tmp_path / "out", *(tmp_path / "out").iterdir()]:
        assert stat.S_IMODE(path.stat().st_mode) & 0o077 == 0


def test_hostile_text_stays_text_in_the_bytes_of_each_form(world: World, keys: list[int], tmp_path: Path) -> None:
    for form in ("eml", "txt", "csv"):
        write(world, keys, tmp_path / f"{form}.csv", form)
    files = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert len(files) == 9
    for path in files:
        content = path.read_bytes()
        assert b"\x1b" not in content
        assert "\u202e".encode() not in content
        assert path.resolve().is_relative_to(tmp_path)
        assert path.name.isascii()
    for path in (tmp_path / "eml.csv").glob("*.eml"):
        mail = message_from_bytes(path.read_bytes(), policy=policy.default)
        assert mail["Bcc"] is None
        assert mail.keys().count("To") == 1
        assert all(len(line) <= 78 for line in path.read_bytes().split(b"\r\n"))
        assert b"\n" not in path.read_bytes().replace(b"\r\n", b"")
    (text,) = (tmp_path / "txt.csv").glob("00002*.txt")
    assert "{{ house }}" in text.read_text(encoding="utf-8")
    for path in (tmp_path / "csv.csv", tmp_path / "txt.csv" / LIST, tmp_path / "eml.csv" / LIST):
        with path.open(encoding="utf-8", newline="") as file:
            for row in csv.reader(file):
                assert not any(cell.startswith(("=", "+", "-", "@", "\t", "\r", "\n")) for cell in row)


def test_nothing_is_written_over(world: World, keys: list[int], tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    for form in ("txt", "csv"):
        problem = write_bulk(world.desk, ToWrite(person_ids=keys, out=tmp_path / "out", form=form))
        assert isinstance(problem, Problem)
        assert "already" in problem.sentence


def test_who_has_no_address_is_left_out_of_e_mail_with_a_sentence(
    world: World, keys: list[int], tmp_path: Path, reach: Callable[..., int]
) -> None:
    reach("Cy", email="")
    written = write(world, keys, tmp_path / "out", "eml")
    assert (written.count, len(written.left_out)) == (2, 1)
    assert "Cy Wold" in written.left_out[0]


def test_writing_can_be_stopped_and_what_was_written_counts(world: World, keys: list[int], tmp_path: Path) -> None:
    wanted = ToWrite(person_ids=keys, out=tmp_path / "out", form="txt")
    written = write_bulk(world.desk, wanted, lambda done, _total: done < 2)
    assert written == Written(count=2, left_out=(), stopped=True)
    assert mark_list_told(world.desk, tmp_path / "out") == Marked(2, ())


def test_a_list_that_is_not_ours_tells_nobody(world: World, keys: list[int], tmp_path: Path) -> None:
    for path in (tmp_path / "missing", tmp_path / "other.csv"):
        (tmp_path / "other.csv").write_text("a,b\n1,2\n")
        assert isinstance(mark_list_told(world.desk, path), Problem)
    write(world, keys, tmp_path / "out", "txt")
    listing = tmp_path / "out" / LIST
    first, *rows = listing.read_text(encoding="utf-8").splitlines()
    tag = world.claims((1,))[0].tag
    rows[0] = rows[0].replace(tag, "NOCLAIM")
    rows[1] = rows[1].replace("00002", "00009")
    listing.write_text("\n".join([first, *rows, "cut,off"]), encoding="utf-8")
    marked = mark_list_told(world.desk, tmp_path / "out")
    assert isinstance(marked, Marked)
    assert marked.count == 1
    assert [problem.split(":")[0] for problem in marked.problems] == ["Line 2", "Line 3", "Line 5"]
