"""A secret shows its text only off air, and only to who asks properly."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.tui import masking
from breakdesk.tui.masking import MASK, Kind, Secret, shown

MAKERS = [masking.code, masking.reference, masking.address, masking.email, masking.phone, masking.note]


@settings(max_examples=100, deadline=None)
@given(text=st.text(alphabet="ABCDEFGHJK23456789-", min_size=4))
def test_no_way_of_printing_gives_the_text_away(text: str) -> None:
    for make in (*MAKERS, masking.full_name):
        secret = make(text)
        for printed in (str(secret), repr(secret), f"{secret}", f"{secret:>40}", "%s" % secret, f"{secret!r}"):  # noqa: UP031
            assert text not in printed
        assert secret.shown(on_air=True) == MASK
        assert secret.shown(on_air=False) == text


def test_the_mask_has_one_width() -> None:
    assert masking.code("A").shown(on_air=True) == masking.code("A" * 60).shown(on_air=True)


def test_a_full_name_gives_way_to_the_on_air_name() -> None:
    name = masking.full_name("Ada Marsh", "marsh_hits")
    assert shown(name, on_air=True) == "marsh_hits"
    assert shown(name, on_air=False) == "Ada Marsh"


def test_nothing_to_hide_stays_empty() -> None:
    assert shown(masking.code(""), on_air=True) == ""
    assert not masking.code("")


def test_plain_text_is_left_alone() -> None:
    assert shown("K5A1", on_air=True) == "K5A1"


@pytest.mark.parametrize("kind", list(Kind))
def test_every_kind_has_a_word(kind: Kind) -> None:
    assert Secret(kind, "x").kind.value.isprintable()
