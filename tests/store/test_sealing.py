"""Codes at rest: sealed, bound to where they belong, compared without being opened."""

from __future__ import annotations

import secrets

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.store.sealing import KEY_BYTES, NoKey, Sealer


@pytest.fixture(scope="module")
def sealer() -> Sealer:
    key = secrets.token_bytes(KEY_BYTES)
    return Sealer(lambda: key)


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


@pytest.mark.parametrize("length", [0, 5, 12, 20, 27])
def test_what_was_cut_short_opens_nowhere(sealer: Sealer, length: int) -> None:
    with pytest.raises(NoKey):
        sealer.open(sealer.seal("KWMH4421", "claim 1")[:length], "claim 1")


def test_digests_compare_codes_as_they_are_read(sealer: Sealer) -> None:
    exact, alike = sealer.code_digests("kwmh-4421")
    assert sealer.code_digests("KWMH 4421") == (exact, alike)
    other_exact, other_alike = sealer.code_digests("KWMH-442I")
    assert other_exact != exact
    assert other_alike == alike
    assert sealer.code_digests("KWMH-44?1") == (None, None)


def test_another_key_opens_nothing_and_compares_nothing(sealer: Sealer) -> None:
    other = Sealer(lambda: secrets.token_bytes(KEY_BYTES))
    with pytest.raises(NoKey):
        other.open(sealer.seal("KWMH4421", "claim 1"), "claim 1")
    assert sealer.code_digests("KWMH4421") != other.code_digests("KWMH4421")


def test_the_key_is_asked_for_once_and_only_when_needed() -> None:
    asked = []

    def unlock() -> bytes:
        asked.append(1)
        return b"k" * KEY_BYTES

    sealer = Sealer(unlock)
    assert asked == []
    sealer.open(sealer.seal("KWMH4421", "claim 1"), "claim 1")
    assert sealer.code_digests("KWMH-?") == (None, None)
    assert asked == [1]


def test_without_a_key_nothing_is_sealed() -> None:
    def unlock() -> bytes:
        raise NoKey("locked")

    sealer = Sealer(unlock)
    for use in (lambda: sealer.seal("x", "y"), lambda: sealer.open(b"z" * 40, "y"), lambda: sealer.digest("x")):
        with pytest.raises(NoKey):
            use()
