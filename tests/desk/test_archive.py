"""A whole desk to open files and back: no difference, and nothing changed goes unnoticed."""

from __future__ import annotations

import json
import stat
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.desk.archive import Archived, archive, unarchive
from breakdesk.desk.checking import verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.codes import read_code
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.loading import load_files
from breakdesk.desk.problems import Problem
from breakdesk.store.archiving import SCHEMA_FILE, tables_and_digests
from breakdesk.store.engine import run
from breakdesk.store.sealing import key_path

pytestmark = pytest.mark.about_files
SAMPLE = Path(__file__).resolve().parents[2] / "sample_breaks"


@pytest.fixture(scope="module")
def desk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Desk]:
    """The sample desk."""
    from breakdesk.desk.sample import add_stories

    opened = open_desk(tmp_path_factory.mktemp("desk") / "desk.db", create=True)
    assert load_files(opened, sorted(SAMPLE.glob("*.csv")) + sorted(SAMPLE.glob("*.xlsx"))).saved
    add_stories(opened)
    yield opened
    opened.close()


@pytest.fixture(scope="module")
def archived(desk: Desk) -> Path:
    """Its archive."""
    folder = desk.path.with_name("archive")
    done = archive(desk.path, folder, Clock())
    assert isinstance(done, Archived), done
    return folder


def copied(archived: Path, to: Path) -> Path:
    """A copy of the archive to be spoilt."""
    to.mkdir()
    for path in archived.iterdir():
        (to / path.name).write_bytes(path.read_bytes())
    return to


def test_there_and_back_without_a_difference(desk: Desk, archived: Path, tmp_path: Path) -> None:
    new = tmp_path / "new.db"
    done = unarchive(archived, new)
    assert isinstance(done, Archived), done
    assert tables_and_digests(new) == tables_and_digests(desk.path)
    assert all(rows for name, (rows, _) in tables_and_digests(new).items() if name in ("claim", "action", "claim_code"))
    key_path(new).write_bytes(key_path(desk.path).read_bytes())
    codes = [(row[0], read_code(desk, row[0])) for row in run(desk.database, "SELECT claim_id FROM claim_code")]
    assert codes
    path = desk.path
    desk.close()
    other = open_desk(new)
    assert list(verify(other)) == []
    assert [(key, read_code(other, key)) for key, _ in codes] == codes
    assert (archive(other.path, tmp_path / "again", Clock()), True)[1]
    other.close()
    first, second = archived, tmp_path / "again"
    for file in first.glob("*.jsonl"):
        assert (second / file.name).read_bytes() == file.read_bytes()
    object.__setattr__(desk, "file", open_desk(path).file)


def test_the_files_explain_themselves_and_hold_no_code(desk: Desk, archived: Path) -> None:
    schema = json.loads((archived / SCHEMA_FILE).read_text())
    assert {f"{name}.jsonl" for name in schema["tables"]} == {path.name for path in archived.iterdir()} - {SCHEMA_FILE}
    claim = {column["name"]: column for column in schema["tables"]["claim"]["columns"]}
    assert claim["expires_on"]["meaning"].startswith("calendar day")
    lines = (archived / "claim.jsonl").read_text().splitlines()
    assert len(lines) == schema["tables"]["claim"]["rows"]
    assert set(json.loads(lines[0])) == set(claim)
    everything = b"".join(path.read_bytes() for path in archived.iterdir())
    for (key,) in run(desk.database, "SELECT claim_id FROM claim_code").fetchall():
        assert str(read_code(desk, key)).encode() not in everything
    assert everything.isascii()
    if sys.platform != "win32":
        assert {stat.S_IMODE(path.stat().st_mode) for path in archived.iterdir()} == {0o600}
        assert stat.S_IMODE(archived.stat().st_mode) == 0o700


@pytest.mark.parametrize(
    ("name", "before", "after", "said"),
    [
        ("claim.jsonl", b'"state":"submitted"', b'"state":"in_hand"', "claim.jsonl was changed"),
        ("claim.jsonl", b'{"id":1,', b'{"id":"one",', "row 1, is no row"),
        ("claim.jsonl", b'{"id":1,', b'{"key":1,', "row 1, is no row"),
        ("action.jsonl", b"{", b"[", "row 1, is no row"),
        ("claim_code.jsonl", b'"base64"', b'"base65"', "row 1, is no row"),
        ("participant.jsonl", None, b"", "participant.jsonl was changed"),
        ("participant.jsonl", None, b"null\n", "row 1, is no row"),
        (SCHEMA_FILE, b"breakdesk archive", b"something else", "not that of an archive"),
        (SCHEMA_FILE, b'"schema_step": ', b'"schema_step": 99', "newer Breakdesk"),
        (SCHEMA_FILE, None, b"[" * 100_000, "missing or unreadable"),
    ],
)
def test_what_was_changed_is_named_and_nothing_is_made(
    archived: Path, tmp_path: Path, name: str, before: bytes | None, after: bytes, said: str
) -> None:
    folder = copied(archived, tmp_path / "spoilt")
    content = (folder / name).read_bytes()
    (folder / name).write_bytes(after if before is None else content.replace(before, after, 1))
    problem = unarchive(folder, tmp_path / "new.db")
    assert isinstance(problem, Problem)
    assert said in problem.what
    assert {path.name for path in tmp_path.iterdir()} == {"spoilt"}


def test_a_missing_table_and_a_missing_archive_are_named(archived: Path, tmp_path: Path) -> None:
    folder = copied(archived, tmp_path / "spoilt")
    (folder / "spot.jsonl").unlink()
    problem = unarchive(folder, tmp_path / "new.db")
    assert isinstance(problem, Problem)
    assert "spot.jsonl is missing" in problem.what
    assert isinstance(unarchive(tmp_path / "none", tmp_path / "new.db"), Problem)
    assert isinstance(archive(tmp_path / "none.db", tmp_path / "out", Clock()), Problem)


def test_nothing_is_overwritten(desk: Desk, archived: Path, tmp_path: Path) -> None:
    (tmp_path / "new.db").write_text("mine")
    assert isinstance(unarchive(archived, tmp_path / "new.db"), Problem)
    assert isinstance(archive(desk.path, tmp_path, Clock()), Problem)
    assert isinstance(archive(desk.path, tmp_path / "new.db", Clock()), Problem)
    assert (tmp_path / "new.db").read_text() == "mine"


JSON: Any = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=3),
    max_leaves=8,
)


@given(
    st.sampled_from(["term.jsonl", "claim.jsonl", SCHEMA_FILE]), st.one_of(st.binary(max_size=80), JSON.map(json.dumps))
)
@settings(max_examples=100, deadline=None)
def test_any_content_is_refused_in_a_sentence(
    archived: Path, tmp_path_factory: pytest.TempPathFactory, name: str, content: bytes | str
) -> None:
    spoilt = tmp_path_factory.mktemp("any")
    folder = copied(archived, spoilt / "spoilt")
    (folder / name).write_bytes(content if isinstance(content, bytes) else content.encode("utf-8", "surrogatepass"))
    problem = unarchive(folder, spoilt / "new.db")
    assert isinstance(problem, Problem)
    assert problem.what.endswith(".")
    assert not (spoilt / "new.db").exists()
