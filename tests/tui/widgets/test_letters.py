"""The large letters are all there, different from each other, and fit."""

from __future__ import annotations

import string
from itertools import combinations

from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.tui.widgets.big_handle import LETTER_ROWS, BigHandle
from breakdesk.tui.widgets.letters import draw_letters, letters_width, plain_letters

ALPHABET = string.ascii_uppercase + string.digits + "_-.?"


def test_every_letter_of_a_handle_can_be_drawn_and_told_apart() -> None:
    drawings = {letter: tuple(draw_letters(letter)) for letter in ALPHABET}
    for one, other in combinations(ALPHABET, 2):
        assert drawings[one] != drawings[other], (one, other)
    assert all("".join(rows).strip() for rows in drawings.values())


@settings(max_examples=100, deadline=None)
@given(text=st.text(alphabet=ALPHABET, min_size=1, max_size=12), scale=st.integers(1, 2))
def test_twelve_letters_fit_at_eighty_columns(text: str, scale: int) -> None:
    rows = draw_letters(text, scale)
    assert {len(row) for row in rows} == {letters_width(text, scale)}
    assert letters_width(text) <= 76
    assert len(rows) == (LETTER_ROWS if scale == 1 else 7)


def test_accents_and_small_letters_are_drawn_as_capitals() -> None:
    assert plain_letters("Zoë_é") == "ZOE_E"
    assert plain_letters("渡辺") is None
    assert plain_letters("") is None


def lines_of(handle: BigHandle, width: int) -> list[str]:
    return [line.plain for line in handle.build(width)]


@settings(max_examples=100, deadline=None)
@given(text=st.text(max_size=60), sure=st.booleans(), width=st.integers(10, 120))
def test_its_height_never_changes_and_nothing_is_too_wide(text: str, sure: bool, width: int) -> None:
    built = BigHandle(text, "goes to", sure=sure).build(width)
    assert len(built) == LETTER_ROWS + 1
    assert all(line.cell_length <= width for line in built)


def test_what_cannot_be_drawn_stands_in_a_frame() -> None:
    lines = lines_of(BigHandle("渡辺[b]", "goes to"), 40)
    assert lines[2] == "┃ 渡辺[b] ┃"
    assert lines_of(BigHandle("a" * 30), 40)[2] == f"┃ {'a' * 30} ┃"


def test_doubt_is_a_sign_and_not_only_a_colour() -> None:
    sure = lines_of(BigHandle("HERON"), 80)
    unsure = lines_of(BigHandle("HERON", sure=False), 80)
    assert unsure != sure
    assert unsure[1:] == draw_letters("HERON ?")
