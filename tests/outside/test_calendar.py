"""Calendars against RFC 5545: folded lines and escaped text, and another library reads back what was written."""

from __future__ import annotations

import warnings
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.files.calendar import Entry, calendar_bytes
from breakdesk.files.messages.plain import plain_line, plain_text

NOW = datetime(2026, 3, 2, 17, 0, tzinfo=UTC)
DAY = date(2027, 2, 28)


def written(*entries: Entry) -> bytes:
    return calendar_bytes("The Corner", entries, NOW, 7)


def entry(summary: str, description: str = "", uid: str = "ask-1@desk") -> Entry:
    return Entry(uid=uid, day=DAY, summary=summary, description=description)


def lines_of(content: bytes, name: bytes) -> list[bytes]:
    """The physical lines of a property, its continuations included."""
    lines = content.split(b"\r\n")
    start = next(index for index, line in enumerate(lines) if line.startswith(name))
    end = next(index for index in range(start + 1, len(lines)) if not lines[index].startswith(b" "))
    return lines[start:end]


@pytest.mark.outside(
    rule="a line has at most 75 octets, and a fold never stands inside a UTF-8 sequence", source="RFC 5545, section 3.1"
)
@pytest.mark.parametrize(("text", "lengths"), [("a" * 200, [74, 75, 61]), ("é" * 80, [74, 75, 21])])
def test_folding(text: str, lengths: list[int]) -> None:
    lines = lines_of(written(entry(text)), b"SUMMARY:")
    assert [len(line) for line in lines] == lengths
    for line in lines:
        line.decode("utf-8")


@pytest.mark.outside(
    rule="commas, semicolons, backslashes and line ends of a TEXT are escaped", source="RFC 5545, 3.3.11"
)
def test_escaping() -> None:
    lines = lines_of(written(entry("x", "a,b;c\\d\ne")), b"DESCRIPTION:")
    assert b"".join(lines) == b"DESCRIPTION:a\\,b\\;c\\\\d\\ne"


def read_back(content: bytes) -> Any:
    with warnings.catch_warnings():
        # The other library is older than this Python.
        warnings.simplefilter("ignore")
        import vobject

        return vobject.readOne(content.decode("utf-8"))


_ACTING = st.sampled_from(list('\r\n\t\x0b\x1b\u202e,;:\\"{}%=+-@<>é한🂡'))
_HOSTILE = st.text(st.characters(exclude_categories=["Cs"]) | _ACTING, max_size=120)


@pytest.mark.outside(rule="any text comes back as it was written", source="vobject 0.9.9")
@given(st.lists(st.tuples(_HOSTILE, _HOSTILE), min_size=1, max_size=4))
@settings(max_examples=100, deadline=None)
def test_another_library_reads_it(texts: list[tuple[str, str]]) -> None:
    entries = [entry(*text, uid=f"tell-{number}@desk") for number, text in enumerate(texts)]
    content = written(*entries)
    assert b"\n" not in content.replace(b"\r\n", b"")
    assert b"\x1b" not in content
    found = read_back(content)
    assert len(found.vevent_list) == len(texts)
    for event, item in zip(found.vevent_list, entries, strict=True):
        assert event.uid.value == item.uid
        assert (event.dtstart.value, event.dtend.value) == (DAY, DAY + timedelta(days=1))
        assert event.summary.value == plain_line(item.summary)
        if plain_text(item.description):
            assert event.description.value == plain_text(item.description)
        assert event.sequence.value == "7"


@pytest.mark.outside(
    rule="a month without the day is no recurrence but its own event: RRULE would skip it",
    source="RFC 5545, section 3.3.10, from memory; computed by dateutil",
)
def test_no_recurrence_is_written() -> None:
    from dateutil.rrule import MONTHLY, rrule

    skipping = [day.date() for day in rrule(MONTHLY, count=3, dtstart=datetime(2026, 10, 31))]  # noqa: DTZ001 - a bare date
    assert skipping == [date(2026, 10, 31), date(2026, 12, 31), date(2027, 1, 31)]
    content = written(entry("Ask about it"))
    assert b"RRULE" not in content
    assert b"DTSTART;VALUE=DATE:20270228" in content
