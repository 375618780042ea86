"""Cutting a long message into numbered parts."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.splitting import SMALLEST_LIMIT, length_in_units, split_numbered

PROSE = st.text(alphabet=st.one_of(st.sampled_from("abc .!?\n😀é"), st.characters(codec="utf-8")), max_size=600)


def test_a_short_text_stays_one_part_without_a_number() -> None:
    assert split_numbered(" Your card is here. ", 100) == ("Your card is here.",)
    assert split_numbered("  \n ", 100) == ()


def test_parts_end_at_sentence_ends_and_are_numbered() -> None:
    text = "Your card has come in. It goes out on Monday! Do we have the right address? Please tell us."
    assert split_numbered(text, 50) == (
        "1/2 Your card has come in. It goes out on Monday!",
        "2/2 Do we have the right address? Please tell us.",
    )


def test_a_list_is_cut_between_its_lines() -> None:
    assert split_numbered("On the way:\n- Ilvo Marrin\n- Tove Aldan", 32) == (
        "1/2 On the way:\n- Ilvo Marrin",
        "2/2 - Tove Aldan",
    )


def test_initials_numbers_and_small_letters_do_not_end_a_sentence() -> None:
    assert split_numbered("It is here. Card of J. Marrin and more", 30)[0] == "1/2 It is here."
    assert split_numbered("It is here. The print no. 5 of it all", 30)[0] == "1/2 It is here."


def test_a_closing_quote_belongs_to_its_sentence() -> None:
    assert split_numbered("He said “it is here.” Then we shipped", 30)[0] == "1/2 He said “it is here.”"


def test_a_long_sentence_is_cut_between_words_and_a_long_word_between_characters() -> None:
    assert split_numbered("one two three four five six", 20) == ("1/2 one two three", "2/2 four five six")
    parts = split_numbered("e\u0301" * 40, 21)
    assert all(len(part.split(" ", 1)[1]) % 2 == 0 for part in parts)


def test_a_limit_too_small_to_hold_a_number_is_refused() -> None:
    with pytest.raises(ValueError, match="at least"):
        split_numbered("text", SMALLEST_LIMIT - 1)


@settings(max_examples=200, deadline=None)
@given(PROSE, st.integers(SMALLEST_LIMIT, 200))
def test_every_part_fits_and_nothing_but_blanks_is_lost(text: str, limit: int) -> None:
    parts = split_numbered(text, limit)
    assert all(length_in_units(part) <= limit for part in parts)
    if len(parts) > 1:
        numbers = [re.match(r"(\d+)/(\d+) ", part) for part in parts]
        assert [found and found.groups() for found in numbers] == [
            (str(number), str(len(parts))) for number in range(1, len(parts) + 1)
        ]
        parts = tuple(part.split(" ", 1)[1] for part in parts)
    assert "".join("".join(parts).split()) == "".join(text.split())
