"""Segments of short messages against values worked out from the clauses of the standard."""

from __future__ import annotations

import pytest

from breakdesk.rules.sms import EXTENSION_ALPHABET, SEPTETS, UCS2, count_sms, septets_of

SEGMENTS = (
    "computed from 3GPP TS 23.038 clauses 6.2.1 and 6.2.3 and 3GPP TS 23.040 clause 9.2.3.24.1, agreed by smsutil"
)
NOTHING = "computed from 3GPP TS 23.038 and 3GPP TS 23.040: an empty text needs no segment"
EXTENSION = "3GPP TS 23.038 clause 6.2.1.1, as listed at developers.gms-worldwide.com/cpaas/sms-encoding"


@pytest.mark.outside(rule="SMS segments", source=SEGMENTS)
@pytest.mark.parametrize(
    ("text", "encoding", "units", "segments"),
    [
        ("a" * 160, SEPTETS, 160, 1),
        ("a" * 161, SEPTETS, 161, 2),
        ("a" * 306, SEPTETS, 306, 2),
        ("a" * 307, SEPTETS, 307, 3),
        ("a" * 459, SEPTETS, 459, 3),
        ("a" * 460, SEPTETS, 460, 4),
        ("a" * 158 + "€", SEPTETS, 160, 1),
        ("a" * 159 + "€", SEPTETS, 161, 2),
        ("€" * 80, SEPTETS, 160, 1),
        ("€" * 81, SEPTETS, 162, 2),
        ("{" * 80, SEPTETS, 160, 1),
        ("a" * 152 + "€" + "a" * 152, SEPTETS, 306, 3),
        ("a" * 153 + "€" + "a" * 151, SEPTETS, 306, 2),
        ("Ç" + "a" * 159, SEPTETS, 160, 1),
        ("ñ" * 160, SEPTETS, 160, 1),
        ("Pokémon" + "a" * 153, SEPTETS, 160, 1),
        ("Ł" * 70, UCS2, 70, 1),
        ("Ł" * 71, UCS2, 71, 2),
        ("Ł" * 134, UCS2, 134, 2),
        ("Ł" * 135, UCS2, 135, 3),
        ("😀" * 35, UCS2, 70, 1),
        ("😀" * 36, UCS2, 72, 2),
        ("😀" * 66, UCS2, 132, 2),
        ("😀" * 67, UCS2, 134, 3),
        ("a" * 159 + "’", UCS2, 160, 3),
        ("a" * 69 + "—", UCS2, 70, 1),
        ("a" * 70 + "—", UCS2, 71, 2),
        ("\u00a0" + "a" * 70, UCS2, 71, 2),
        ("`" + "a" * 70, UCS2, 71, 2),
        ("\t" + "a" * 70, UCS2, 71, 2),
        ("ç" + "a" * 70, UCS2, 71, 2),
        ("á" + "a" * 70, UCS2, 71, 2),
    ],
)
def test_a_text_takes_the_segments_of_the_standard(text: str, encoding: str, units: int, segments: int) -> None:
    count = count_sms(text)
    assert (count.encoding, count.units, len(count.segments)) == (encoding, units, segments)
    assert "".join(count.segments) == text


@pytest.mark.outside(rule="SMS segments", source=NOTHING)
def test_an_empty_text_takes_no_segment() -> None:
    assert count_sms("").segments == ()


@pytest.mark.outside(rule="SMS alphabet, extension", source=EXTENSION)
def test_the_extension_characters_take_two_septets() -> None:
    assert set(EXTENSION_ALPHABET) == set("\f^{}\\[~]|€")
    assert all(septets_of(character) == 2 for character in EXTENSION_ALPHABET)


@pytest.mark.outside(rule="SMS, most segments", source="3GPP TS 23.040 clause 9.2.3.24.1: at most 255 parts")
@pytest.mark.parametrize(("character", "most"), [("a", 39_015), ("Ł", 17_085)])
def test_no_more_than_255_parts_can_be_joined(character: str, most: int) -> None:
    assert not count_sms(character * most).too_long
    assert count_sms(character * (most + 1)).too_long
