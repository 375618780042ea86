"""Counting and shortening short messages."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.sms import SEPTETS, UCS2, count_sms, is_septet_text, replace_forcing, septets_of, ucs2_units_of

MIXED = st.text(alphabet=st.one_of(st.sampled_from("ab€{😀ŁÇç’\n "), st.characters(codec="utf-8")), max_size=500)


@settings(max_examples=150, deadline=None)
@given(MIXED)
def test_segments_keep_the_text_whole_and_fit(text: str) -> None:
    count = count_sms(text)
    assert "".join(count.segments) == text
    width, single, part = (septets_of, 160, 153) if count.encoding == SEPTETS else (ucs2_units_of, 70, 67)
    room = single if len(count.segments) == 1 else part
    assert all(0 < sum(map(width, segment)) <= room for segment in count.segments)
    assert (len(count.segments) > 1) == (count.units > single)


@settings(max_examples=150, deadline=None)
@given(MIXED)
def test_the_longer_encoding_is_used_exactly_where_a_character_forces_it(text: str) -> None:
    count = count_sms(text)
    assert (count.encoding == UCS2) == bool(count.forcing)
    assert len({found.character for found in count.forcing}) == len(count.forcing)


@settings(max_examples=150, deadline=None)
@given(MIXED)
def test_replacing_leaves_only_what_has_no_stand_in(text: str) -> None:
    shorter = replace_forcing(text)
    assert all(found.replacement is None for found in count_sms(shorter).forcing)
    assert replace_forcing(shorter) == shorter
    if is_septet_text(text):
        assert shorter == text


def test_forcing_characters_are_named_with_what_can_stand_for_them() -> None:
    count = count_sms("It’s Łuka’s 😀")
    assert [(found.character, found.name, found.replacement) for found in count.forcing] == [
        ("’", "right single quotation mark", "'"),
        ("Ł", "latin capital letter l with stroke", "L"),
        ("😀", "grinning face", None),
    ]
    assert replace_forcing("It’s Łuka’s – Zoë, façade… é") == "It's Luka's - Zoe, facade... é"


def test_a_decomposed_letter_of_the_alphabet_is_put_together() -> None:
    assert replace_forcing("Poke\u0301") == "Poké"
    assert count_sms(replace_forcing("Poke\u0301")).encoding == SEPTETS
