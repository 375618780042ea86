"""Names with a handle behind them."""

from __future__ import annotations

import pytest

from breakdesk.rules.handles import split_handle


@pytest.mark.parametrize(
    ("text", "name", "handle"),
    [
        ("Ann Moor (@annm)", "Ann Moor", "annm"),
        ("Ann Moor(@annm)", "Ann Moor", "annm"),
        ("Ann Moor [@ann.m]", "Ann Moor", "ann.m"),
        ("Ann Moor <@ann-m>", "Ann Moor", "ann-m"),
        ("Ann Moor @annm", "Ann Moor", "annm"),
        ("Zoë Q. ( @zq )", "Zoë Q.", "zq"),
    ],
)
def test_a_handle_is_taken_off(text, name, handle):
    assert split_handle(text) == (name, handle)


@pytest.mark.parametrize(
    "text", ["Ann Moor", "Ann (Texas)", "@annm", "(@annm)", "ann@mail.example", "Ann (@)", "Ann (@a) and Bo", "", "@"]
)
def test_what_is_no_name_with_a_handle_stays_whole(text):
    assert split_handle(text) == (text, "")
