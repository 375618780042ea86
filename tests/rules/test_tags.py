"""Tags: no two numbers share one, a slip of the pen shows, and foreign tags stay as they came."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules import tags

NUMBERS = st.integers(0, tags.TAG_COUNT - 1)
PLACES = st.integers(0, tags.TAG_LENGTH - 1)


def test_make_tag_is_a_bijection_because_its_factor_has_an_inverse() -> None:
    # A tag's number can be worked back: first place values to the scrambled number, then the inverse of the factor.
    size = len(tags.TAG_ALPHABET)

    def scrambled(number: int) -> int:
        value = 0
        for symbol in tags.make_tag(number)[:-1]:
            value = value * size + tags.TAG_ALPHABET.index(symbol)
        return value

    shift = scrambled(0)
    inverse = pow(scrambled(1) - shift, -1, tags.TAG_COUNT)

    @settings(max_examples=200, deadline=None)
    @given(NUMBERS)
    def works_back(number: int) -> None:
        assert (scrambled(number) - shift) * inverse % tags.TAG_COUNT == number

    works_back()


def test_the_first_thousands_of_tags_are_all_different() -> None:
    assert len({tags.make_tag(number) for number in range(30_000)}) == 30_000


@settings(max_examples=200, deadline=None)
@given(NUMBERS, st.integers(1, 20))
def test_near_numbers_differ_in_every_place(number: int, distance: int) -> None:
    near = tags.make_tag((number + distance) % tags.TAG_COUNT)
    assert all(one != other for one, other in zip(tags.make_tag(number)[:5], near[:5], strict=True))


@settings(max_examples=100, deadline=None)
@given(NUMBERS, PLACES, st.sampled_from(tags.TAG_ALPHABET))
def test_a_single_wrong_symbol_is_caught(number: int, place: int, symbol: str) -> None:
    tag = tags.make_tag(number)
    changed = tag[:place] + symbol + tag[place + 1 :]
    assert tags.is_well_formed(changed) == (changed == tag)


@settings(max_examples=100, deadline=None)
@given(NUMBERS, PLACES, PLACES)
def test_two_swapped_symbols_are_caught(number: int, one: int, other: int) -> None:
    tag = tags.make_tag(number)
    symbols = list(tag)
    symbols[one], symbols[other] = symbols[other], symbols[one]
    swapped = "".join(symbols)
    assert tags.is_well_formed(swapped) == (swapped == tag)


@pytest.mark.parametrize("number", [-1, tags.TAG_COUNT])
def test_numbers_outside_the_range_are_refused(number: int) -> None:
    with pytest.raises(ValueError, match="numbered from 0"):
        tags.make_tag(number)


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=30))
def test_normalising_twice_changes_nothing(text: str) -> None:
    once = tags.normalise_tag(text)
    assert tags.normalise_tag(once) == once


@settings(max_examples=50, deadline=None)
@given(NUMBERS)
def test_a_tag_is_read_back_however_it_was_written(number: int) -> None:
    tag = tags.make_tag(number)
    for written in (tag.lower(), tags.shown(tag), f" {tag[:2]}-{tag[2:]}\N{EN DASH} "):
        assert tags.check(written) == tags.TagReading(tag, None)


@pytest.mark.parametrize(
    ("text", "part"),
    [
        (" - ", "no tag here"),
        ("AC0L34", "no 0 and no L"),
        ("ACD", "this has 3"),
        ("ACD7346", "this has 7"),
        ("MHHWHJ", "does not add up"),
    ],
)
def test_a_doubtful_tag_is_explained(text: str, part: str) -> None:
    reading = tags.check(text)
    assert not reading.ok
    assert reading.doubt is not None
    assert part in reading.doubt


def test_only_our_own_tags_are_grouped() -> None:
    ours = tags.make_tag(7)
    assert tags.shown(ours) == f"{ours[:3]} {ours[3:]}"
    for foreign in ("R-17", "row 12", "ABCDEF", "2024/117", "acd 735 x"):
        assert tags.shown(foreign) == foreign


def test_foreign_tags_are_short_and_printable() -> None:
    assert tags.can_be_tag("R-17")
    assert tags.can_be_tag("x" * tags.FOREIGN_TAG_LIMIT)
    for unfit in ("", " ", "--", "x" * (tags.FOREIGN_TAG_LIMIT + 1), "a\x1b[31m", "a\nb"):
        assert not tags.can_be_tag(unfit)


def test_a_tag_can_be_said_aloud() -> None:
    assert tags.spoken("acd 734") == "Alfa Charlie Delta seven three four"
    assert tags.spoken("X/9") == "X-ray solidus nine"
    words = {tags.spoken(symbol) for symbol in tags.TAG_ALPHABET}
    assert len(words) == len(tags.TAG_ALPHABET)


def test_tags_in_a_sentence_stand_as_people_read_them_and_nothing_else_is_touched() -> None:
    one, other = tags.make_tag(1), tags.make_tag(2)
    said = f"{one} and {other} changed hands; {one[:-1]}, {one}X, OLD-{one} and 2027-03-31 stay."
    assert tags.with_tags_shown(said) == (
        f"{tags.shown(one)} and {tags.shown(other)} changed hands; {one[:-1]}, {one}X, OLD-{one} and 2027-03-31 stay."
    )
