"""Values of cells are read in the ways people write them, and refused with a remedy."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.files.cells import (
    Numbering,
    parse_amount,
    parse_country,
    parse_currency,
    parse_hour_text,
    parse_joined,
    parse_line,
    parse_list,
    parse_note,
    parse_run,
    parse_serial,
    parse_whole,
    parse_word,
    parse_yes_no,
    parse_zone,
)
from breakdesk.files.unreadable import Unreadable
from breakdesk.rules.money import Money


@pytest.mark.parametrize(
    ("text", "numbering"),
    [
        ("25", Numbering(None, 25)),
        ("/25", Numbering(None, 25)),
        ("#/25", Numbering(None, 25)),
        ("x/25", Numbering(None, 25)),
        ("7/25", Numbering(7, 25)),
        ("#07/25", Numbering(7, 25)),
        ("7 of 25", Numbering(7, 25)),
        ("1 of 1", Numbering(1, 1)),
        ("1/1", Numbering(1, 1)),
        ("one of one", Numbering(1, 1)),
        ("25.0", Numbering(None, 25)),
    ],
)
def test_print_runs(text: str, numbering: Numbering) -> None:
    assert parse_run(text) == numbering


@given(st.integers(1, 9999), st.integers(1, 9999))
@settings(max_examples=50, deadline=None)
def test_serials(serial: int, run: int) -> None:
    assert parse_serial(str(serial)) == parse_serial(f"#{serial}") == Numbering(serial, None)
    assert parse_serial(f"{serial:04}/{run:04}") == parse_run(f"{serial} / {run}") == Numbering(serial, run)


@pytest.mark.parametrize(
    ("read", "text"),
    [
        (parse_run, "many"),
        (parse_run, "0/25"),
        (parse_run, "7/0"),
        (parse_run, "#" * 100_000),
        (parse_serial, "-1"),
        (parse_whole(0, 10), "11"),
        (parse_whole(1, 10), "0"),
        (parse_whole(0, 10), "1.5"),
        (parse_yes_no, "perhaps"),
        (parse_word(("team", "player")), "club"),
        (parse_amount("USD"), "abc"),
        (parse_amount("USD"), "1" * 100_000),
        (parse_amount("USD"), "12.345"),
        (parse_hour_text, "25:00"),
        (parse_hour_text, "nine"),
        (parse_zone, "Mars/Base"),
        (parse_zone, "../../etc/passwd"),
        (parse_currency, "XXZ"),
        (parse_country, "United States"),
        (parse_line, "a\x1b[31mb"),
        (parse_line, "a\u202eb"),
        (parse_line, "#N/A"),
        (parse_line, "a" * 301),
        (parse_note, "a\x00b"),
        (parse_list, "fine; \x07"),
    ],
)
def test_what_is_refused_has_a_remedy(read: Callable[[str], object], text: str) -> None:
    with pytest.raises(Unreadable) as refused:
        read(text)
    assert refused.value.what
    assert refused.value.remedy


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (parse_yes_no, "YES", True),
        (parse_yes_no, "0", False),
        (parse_word(("hit_draft", "box")), "Hit Draft", "hit_draft"),
        (parse_word(("hit_draft", "box")), "hit-draft", "hit_draft"),
        (parse_list, "Herons; Owls;;Herons ", ("Herons", "Owls")),
        (parse_joined, " Ana Moor ; Bo Lund", "Ana Moor;Bo Lund"),
        (parse_amount("USD"), "1,200.50", Money(120050, "USD")),
        (parse_amount("USD"), "12.50 EUR", Money(1250, "EUR")),
        (parse_amount("AUD"), "$45.00", Money(4500, "AUD")),
        (parse_hour_text, "9:00", "09:00"),
        (parse_hour_text, "17:30:00", "17:30"),
        (parse_hour_text, "24:00", "24:00"),
        (parse_zone, " Europe/Oslo ", "Europe/Oslo"),
        (parse_currency, "usd", "USD"),
        (parse_country, "us", "US"),
        (parse_whole(0, 10), "7.0", 7),
        (parse_line, "  Ana\n\tMoor\xa0Lee ", "Ana Moor Lee"),
        (parse_note, "one\r\ntwo\vthree", "one\ntwo\nthree"),
        (parse_line, "Zoe\u0308", "Zo\xeb"),
    ],
)
def test_what_is_read(read: Callable[[str], object], text: str, value: object) -> None:
    assert read(text) == value


@given(st.text(max_size=40))
@settings(max_examples=150, deadline=None)
def test_lines_are_lines_and_reading_them_again_changes_nothing(text: str) -> None:
    try:
        line = parse_line(text)
    except Unreadable:
        return
    assert parse_line(line) == line
    assert not set(line) & {"\n", "\r", "\t", "\x1b", "\x00"}
    assert line == line.strip(" ")


@given(st.text(max_size=40))
@settings(max_examples=150, deadline=None)
def test_any_text_is_read_or_refused_and_nothing_else(text: str) -> None:
    readers: list[Callable[[str], object]] = [parse_run, parse_serial, parse_whole(0, 9), parse_yes_no, parse_note]
    readers += [parse_amount("USD"), parse_hour_text, parse_zone, parse_currency, parse_country, parse_list]
    for read in readers:
        with suppress(Unreadable):
            assert read(text) is not None


@pytest.mark.parametrize("text", ["$45.00", "-5", "twelve", "1,50", "12.345678", "USD 5 EUR"])
def test_what_is_wrong_with_an_amount_is_said_without_naming_it_again(text: str) -> None:
    with pytest.raises(Unreadable) as refused:
        parse_amount("EUR")(text)
    assert text not in refused.value.what + refused.value.remedy
