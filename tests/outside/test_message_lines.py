"""Lines of e-mail files against the limits of the standard."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.files.messages.channels import Channel, shape
from breakdesk.files.messages.eml import Envelope, eml_bytes


def _lines(subject: str, name: str, body: str) -> list[bytes]:
    envelope = Envelope(
        from_name="Corner Table Breaks",
        from_address="desk@example.org",
        to_name=name,
        to_address="ana@example.com",
        written_at=datetime(2026, 7, 3, 12, tzinfo=UTC),
    )
    data = eml_bytes(shape(body, Channel("email"), subject=subject), envelope)
    assert isinstance(data, bytes)
    return data.split(b"\r\n")


@pytest.mark.outside(rule="e-mail lines of at most 998 characters", source="RFC 5322 section 2.1.1")
@settings(max_examples=100, deadline=None)
@given(st.text(max_size=300), st.text(max_size=300), st.text(max_size=3000))
def test_no_line_is_longer_than_the_standard_allows(subject: str, name: str, body: str) -> None:
    assert all(len(line) <= 998 for line in _lines(subject, name, body))


@pytest.mark.outside(rule="e-mail lines of at most 78 characters", source="RFC 5322 section 2.1.1")
@pytest.mark.parametrize("unit", ["word ", "Zoë ", "😀", "x", "{{ x }} ", "."])
@pytest.mark.parametrize("count", [1, 20, 77, 78, 79, 200, 1000])
def test_lines_keep_to_the_length_that_the_standard_recommends(unit: str, count: int) -> None:
    text = unit * count
    assert max(len(line) for line in _lines(f"News: {text}", text, f"Hello,\n{text}\nbye")) <= 78
