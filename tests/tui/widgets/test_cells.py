"""Text from anywhere keeps its line and its width."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from breakdesk.tui.widgets.cells import MOST_MARKS, clean, cut, fit, wrap

WIDE = "渡辺はるか"
texts = st.text(max_size=40)
widths = st.integers(min_value=0, max_value=60)


@settings(max_examples=200, deadline=None)
@given(text=texts, width=widths, right=st.booleans())
@example(text=WIDE, width=4, right=False)
@example(text="e\u0301" * 9, width=5, right=True)
@example(text="👩\u200d👩\u200d👧 family", width=3, right=False)
@example(text="\U0001f3f3\ufe0f\u200d\U0001f308", width=1, right=False)
def test_a_cell_has_exactly_its_width(text: str, width: int, right: bool) -> None:
    assert cell_len(fit(text, width, right=right)) == width
    assert cell_len(cut(text, width)) <= width


@settings(max_examples=200, deadline=None)
@given(text=texts)
@example(text="a\x1b[31mb\x9b2Jc\u202egnp\u2066\u200f\ufeff\u2028\ud800")
def test_nothing_that_steers_a_terminal_is_left(text: str) -> None:
    for character in clean(text):
        assert unicodedata.category(character) not in {"Cc", "Zl", "Zp", "Cs"}
        assert unicodedata.category(character) != "Cf" or character == "\u200d"


@settings(max_examples=200, deadline=None)
@given(text=texts, width=st.integers(min_value=2, max_value=40))
@example(text="one " + WIDE + " two", width=3)
def test_wrapped_lines_fit_and_lose_no_word(text: str, width: int) -> None:
    lines = wrap(text, width)
    assert lines
    assert all(cell_len(line) <= width for line in lines)
    kept = "".join("".join(lines).split())
    assert kept == "".join(clean(" ".join(text.splitlines())).split())


def test_what_is_cut_ends_with_an_ellipsis() -> None:
    assert cut("Ada Marsh", 6) == "Ada M…"
    assert cut(WIDE, 6) == "渡辺…"
    assert cut("Ada", 3) == "Ada"
    assert cut("Ada", 1) == "…"
    assert cut("Ada", 0) == ""


def test_words_are_broken_between_them() -> None:
    assert wrap("the blue one\nof two", 8) == ["the blue", "one", "of two"]
    assert wrap("harbourmaster", 5) == ["harbo", "urmas", "ter"]


@pytest.mark.parametrize("mark", ["\u0301", "\u0489"])
def test_a_heap_of_marks_is_cut_down(mark: str) -> None:
    assert clean("a" + mark * 50 + "b") == "a" + mark * MOST_MARKS + "b"


def test_letters_of_all_scripts_stay() -> None:
    assert clean("Zoë Łuk 渡辺 שלום é") == "Zoë Łuk 渡辺 שלום é"
