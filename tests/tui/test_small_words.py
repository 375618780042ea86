"""Days as they are typed, time that is left, and sentences with secrets in them."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.wording import days_left
from breakdesk.tui import masking
from breakdesk.tui.countdown import time_left
from breakdesk.tui.day_entry import day_check, read_day
from breakdesk.tui.screens.round_items import Item, place_named
from breakdesk.tui.veiling import veiled
from breakdesk.tui.wording import moment_words

MONDAY = date(2026, 3, 2)
NOW = datetime(2026, 3, 2, 17, 0, tzinfo=UTC)


class TestDays:
    @pytest.mark.parametrize(
        ("text", "day"),
        [
            ("1", date(2026, 3, 3)),
            (" 30 ", date(2026, 4, 1)),
            ("fri", date(2026, 3, 6)),
            ("Monday", date(2026, 3, 9)),
            ("2026-12-04", date(2026, 12, 4)),
            ("4 December 2026", date(2026, 12, 4)),
        ],
    )
    def test_read(self, text, day):
        assert read_day(text, MONDAY) == day

    @pytest.mark.parametrize("text", ["", "0", "99999", "someday", "30 February 2026", "3/4/2026"])
    def test_refused_with_a_sentence(self, text):
        with pytest.raises(ValueError, match=r"\w"):
            read_day(text, MONDAY)
        assert day_check(MONDAY)(text)

    def test_a_past_day_is_wrong_and_today_is_not(self):
        check = day_check(MONDAY)
        assert check("2026-03-01") == "1 March 2026 is past."
        assert check("2026-03-02") is None
        assert day_check(MONDAY, optional=True)("") is None

    @settings(max_examples=200, deadline=None)
    @given(st.text(max_size=12))
    def test_any_text_is_a_day_or_a_sentence(self, text):
        problem = day_check(MONDAY)(text)
        assert problem is None or problem.strip()


class TestTimeLeft:
    @pytest.mark.parametrize(
        ("more", "said"),
        [
            (timedelta(days=2, hours=5, minutes=9), "in 2 days, 5 hours"),
            (timedelta(days=1), "in 1 day"),
            (timedelta(days=20, hours=3), "in 20 days"),
            (timedelta(hours=1, minutes=1), "in 1 hour, 1 minute"),
            (timedelta(seconds=20), "in less than a minute"),
            (timedelta(0), "less than a minute ago"),
            (-timedelta(hours=3), "3 hours ago"),
        ],
    )
    def test_words(self, more, said):
        assert time_left(NOW + more, NOW) == said

    @pytest.mark.parametrize(
        ("days", "said"),
        [
            (2, "2 days left"),
            (1, "1 day left"),
            (0, "its last day"),
            (-1, "expired 1 day ago"),
            (-9, "expired 9 days ago"),
        ],
    )
    def test_days(self, days, said):
        assert days_left(days) == said


class TestVeils:
    def test_each_secret_is_replaced_on_air_only(self):
        text = "Ada Fenn has REF-1."
        secret = veiled(text, [masking.full_name("Ada Fenn", "Fern"), masking.reference("REF-1")])
        assert secret.shown(on_air=False) == text
        assert secret.shown(on_air=True) == "Fern has hidden on air."

    def test_a_longer_secret_is_replaced_before_the_one_inside_it(self):
        secrets = [masking.full_name("Ada", "A"), masking.full_name("Ada Fenn", "Fern")]
        assert veiled("Ada Fenn and Ada", secrets).shown(on_air=True) == "Fern and A"

    @pytest.mark.parametrize("said", ["TRK99", "trk 99", "Trk-99", "TRK  99"])
    def test_a_number_is_hidden_in_any_spelling(self, said):
        shown = veiled(f"“{said}” follows no rule.", [masking.reference("trk 99")]).shown(on_air=True)
        assert shown == "“hidden on air” follows no rule."

    def test_nothing_hidden_hides_nothing(self):
        assert veiled("K4 is in hand.", [masking.reference("")]).shown(on_air=True) == "K4 is in hand."

    @settings(max_examples=200, deadline=None)
    @given(st.text(min_size=1, max_size=8).filter(lambda text: text.strip() and text.strip() not in masking.MASK))
    def test_what_is_secret_is_gone(self, text):
        shown = veiled(f"before {text} after", [masking.code(text)]).shown(on_air=True)
        assert text.strip() not in shown.replace(masking.MASK, "").removeprefix("before ").removesuffix(" after")


@pytest.mark.parametrize(("words", "place"), [("2", 1), ("@ola", 1), ("bird", 1), ("K", 0), ("3", None), ("", None)])
def test_an_item_is_meant_by_its_number_or_first_letters(words: str, place: int | None) -> None:
    items = [
        Item(key="a", label="", data=None, names="Kit Moor"),
        Item(key="b", label="", data=None, names="@ola Bird"),
    ]
    assert place_named(items, words) == place


def test_an_instant_is_told_in_words_by_the_zones_clock() -> None:
    instant = datetime(2026, 11, 25, 23, 30, tzinfo=UTC)
    assert moment_words(instant, "Europe/Berlin") == "26 November 2026, 00:30"
