"""What a spot's text holds."""

from __future__ import annotations

import pytest

from breakdesk.rules.spot_holdings import letters_in, numbers_in


@pytest.mark.parametrize(
    ("text", "letters"),
    [("Q", "q"), ("Q/U/V", "quv"), ("quv", "quv"), ("X-Z", "xyz"), ("z – x", "xyz"), ("Letter É", "e"), ("", "")],
)
def test_letters(text: str, letters: str) -> None:
    assert letters_in(text) == frozenset(letters)


@pytest.mark.parametrize(
    ("text", "numbers"),
    [("3", {3}), ("Box 3", {3}), ("1, 2", {1, 2}), ("1-4", {1, 2, 3, 4}), ("9-7", {9, 7}), ("all", set())],
)
def test_numbers(text: str, numbers: set[int]) -> None:
    assert numbers_in(text) == numbers


def test_an_absurd_range_is_its_two_ends() -> None:
    assert numbers_in("1-999999") == {1, 999999}
