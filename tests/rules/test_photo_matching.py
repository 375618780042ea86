"""Which claim each photo of a night shows."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.photo_matching import LEAD, match_in_time, moved_from

START = datetime(2026, 6, 15, 18, tzinfo=UTC)


def at(*minutes: float) -> list[datetime]:
    return [START + timedelta(minutes=minute) for minute in minutes]


def test_a_photo_goes_to_the_claim_pulled_last_before_it() -> None:
    found = match_in_time(at(1, 2, 11, 20.8, 300), at(0, 10, 21))
    assert found.places == (0, 0, 1, 2, 2)
    assert not found.doubt


def test_a_photo_from_before_the_first_claim_is_left_out_and_said() -> None:
    found = match_in_time(at(-5, 1), at(0, 10))
    assert found.places == (None, 0)
    assert found.doubt == "1 photo was taken before the first claim."


def test_photos_of_the_pile_go_one_after_the_other_or_several_of_each() -> None:
    assert match_in_time(at(60, 61, 62), at(0, 10, 21)).places == (0, 1, 2)
    assert match_in_time(at(60, 61, 62, 63), at(0, 10)).places == (0, 0, 1, 1)


def test_a_pile_whose_number_differs_is_doubtful() -> None:
    found = match_in_time(at(60, 61, 62, 63), at(0, 10, 21))
    assert found.places == (0, 1, 2, None)
    assert "4 photos, but 3 claims" in found.doubt
    assert match_in_time(at(60, 61), at(0, 10, 21)).doubt


def test_one_correction_moves_all_that_follow() -> None:
    assert moved_from((0, 1, 2, None), 1, 1) == (0, 2, 3, None)
    assert moved_from(moved_from((0, 1, 2), 1, 5), 1, -5) == (0, 1, 2)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.integers(0, 500)), st.lists(st.integers(0, 400), unique=True))
def test_the_order_is_kept_and_no_photo_is_much_older_than_its_claim(photos: list[int], claims: list[int]) -> None:
    taken, pulled = at(*sorted(photos)), at(*sorted(claims))
    places = match_in_time(taken, pulled).places
    assert len(places) == len(taken)
    known = [place for place in places if place is not None]
    assert known == sorted(known)
    for moment, place in zip(taken, places, strict=True):
        assert place is None or pulled[place] <= moment + LEAD
