"""Codes at rest."""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.store.sealing import NoKey, Sealer, key_path


@pytest.fixture(scope="module")
def sealer(tmp_path_factory: pytest.TempPathFactory) -> Sealer:
    return Sealer(tmp_path_factory.mktemp("key") / "desk.db.key", may_create=True)


@settings(max_examples=100, deadline=None)
@given(st.text(), st.text())
def test_what_is_sealed_opens_only_where_it_belongs(sealer: Sealer, text: str, place: str) -> None:
    sealed = sealer.seal(text, place)
    assert sealer.open(sealed, place) == text
    assert len(text) < 4 or text.encode() not in sealed
    assert sealer.seal(text, place) != sealed
    with pytest.raises(NoKey):
        sealer.open(sealed, place + "x")
    with pytest.raises(NoKey):
        sealer.open(bytes([sealed[0] ^ 1]) + sealed[1:], place)
    with pytest.raises(NoKey):
        sealer.open(sealed[:-1] + bytes([sealed[-1] ^ 1]), place)


def test_digests_compare_codes_as_they_are_read(sealer: Sealer) -> None:
    exact, alike = sealer.code_digests("kwmh-4421")
    assert sealer.code_digests("KWMH 4421") == (exact, alike)
    other_exact, other_alike = sealer.code_digests("KWMH-442I")
    assert other_exact != exact
    assert other_alike == alike
    assert sealer.code_digests("KWMH-44?1") == (None, None)


def test_another_key_opens_nothing_and_compares_nothing(tmp_path: Path) -> None:
    first, second = (Sealer(tmp_path / name, may_create=True) for name in ("a.key", "b.key"))
    with pytest.raises(NoKey):
        second.open(first.seal("KWMH4421", "claim 1"), "claim 1")
    assert first.code_digests("KWMH4421") != second.code_digests("KWMH4421")


def test_the_key_is_made_once_and_for_its_owner_only(tmp_path: Path) -> None:
    path = key_path(tmp_path / "desk.db")
    sealed = Sealer(path, may_create=True).seal("KWMH4421", "claim 1")
    assert Sealer(path, may_create=False).open(sealed, "claim 1") == "KWMH4421"
    if os.name != "nt":
        assert stat.S_IMODE(path.stat().st_mode) == 0o600


@pytest.mark.parametrize(
    "content", ["", "{}", "[]", "5", '"key"', "\xff", json.dumps({"algorithm": "AES-256-GCM", "key": "AAAA"}),
                json.dumps({"algorithm": "none", "key": "A" * 43 + "="})]
)  # fmt: skip
def test_a_file_that_is_no_key_is_refused(tmp_path: Path, content: str) -> None:
    path = tmp_path / "desk.db.key"
    path.write_bytes(content.encode("latin-1"))
    with pytest.raises(NoKey):
        Sealer(path, may_create=True).digest("x")
    assert path.read_bytes() == content.encode("latin-1")


def test_without_a_key_nothing_is_sealed_and_a_folder_is_none(tmp_path: Path) -> None:
    with pytest.raises(NoKey):
        Sealer(tmp_path / "gone.key", may_create=False).seal("x", "y")
    with pytest.raises(NoKey):
        Sealer(tmp_path, may_create=False).seal("x", "y")
