"""Recovery keys: every wrong symbol and every swap is noticed, and the group is named."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.recovery import GROUPS, SYMBOLS, doubt, plain, written
from breakdesk.rules.tags import TAG_ALPHABET

VALUES = st.lists(st.integers(0, len(TAG_ALPHABET) - 1), min_size=SYMBOLS, max_size=SYMBOLS)


@given(VALUES)
@settings(max_examples=200, deadline=None)
def test_what_is_written_is_in_no_doubt_however_it_is_typed(values: list[int]) -> None:
    text = written(values)
    assert [len(group) for group in text.split()] == [6] * GROUPS
    for typed in (text, text.lower(), text.replace(" ", "-"), text.replace(" ", ""), f"  {text}\n"):
        assert doubt(typed) is None
        assert plain(typed) == text.replace(" ", "")


@given(VALUES, st.integers(0, 47), st.integers(1, 22))
@settings(max_examples=200, deadline=None)
def test_one_wrong_symbol_is_noticed_and_its_group_named(values: list[int], place: int, shift: int) -> None:
    symbols = list(plain(written(values)))
    symbols[place] = TAG_ALPHABET[(TAG_ALPHABET.index(symbols[place]) + shift) % len(TAG_ALPHABET)]
    found = doubt("".join(symbols))
    assert found is not None
    assert found.startswith(f"Group {place // 6 + 1} ")


@given(VALUES, st.integers(0, 46))
@settings(max_examples=200, deadline=None)
def test_two_neighbours_swapped_are_noticed(values: list[int], place: int) -> None:
    symbols = list(plain(written(values)))
    if place % 6 == 5 or symbols[place] == symbols[place + 1]:
        return
    symbols[place], symbols[place + 1] = symbols[place + 1], symbols[place]
    assert doubt("".join(symbols)) is not None


@given(VALUES, st.integers(0, GROUPS - 2))
@settings(max_examples=200, deadline=None)
def test_two_groups_swapped_are_noticed(values: list[int], place: int) -> None:
    groups = written(values).split()
    groups[place], groups[place + 1] = groups[place + 1], groups[place]
    assert doubt(" ".join(groups)) is not None


@given(st.text(max_size=80))
@settings(max_examples=200, deadline=None)
def test_any_text_has_a_verdict(text: str) -> None:
    found = doubt(text)
    assert found is None or found.endswith(".")


@pytest.mark.parametrize("values", [[0] * 39, [0] * 41, [23] + [0] * 39, [-1] + [0] * 39])
def test_what_is_no_key_is_not_written(values: list[int]) -> None:
    with pytest.raises(ValueError, match="forty"):
        written(values)
