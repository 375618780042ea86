"""Columns share a line and give way in their order."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.tui.widgets.columns import GAP, Column, share_line

columns = st.lists(
    st.builds(
        Column,
        title=st.just("Title"),
        width=st.integers(1, 30),
        stretch=st.integers(0, 3),
        priority=st.integers(1, 4),
    ),
    max_size=8,
)


@settings(max_examples=200, deadline=None)
@given(columns=columns, width=st.integers(0, 200))
def test_the_line_is_never_longer_than_its_room(columns: list[Column], width: int) -> None:
    places = share_line(columns, width)
    assert sum(place.width for place in places) + GAP * max(0, len(places) - 1) <= width
    assert [place.index for place in places] == sorted(place.index for place in places)
    assert bool(places) == bool(columns)
    if len(places) > 1:
        assert all(place.width >= columns[place.index].width for place in places)


@settings(max_examples=200, deadline=None)
@given(columns=columns, width=st.integers(0, 200))
def test_who_drops_out_has_no_better_right_than_who_stays(columns: list[Column], width: int) -> None:
    staying = {place.index for place in share_line(columns, width)}
    gone = set(range(len(columns))) - staying
    if staying and gone:
        assert min(columns[index].priority for index in gone) >= max(columns[index].priority for index in staying)


def test_spare_room_goes_to_the_columns_that_stretch() -> None:
    line = [Column(title="A", width=5), Column(title="B", width=5, stretch=2), Column(title="C", width=5, stretch=1)]
    assert [place.width for place in share_line(line, 19 + 9)] == [5, 11, 8 + 0] == [5, 5 + 6, 5 + 3]


def test_a_wider_line_shows_more_columns() -> None:
    line = [Column(title="A", width=30), Column(title="B", width=30, priority=2), Column(title="C", width=30)]
    assert [place.index for place in share_line(line, 76)] == [0, 2]
    assert [place.index for place in share_line(line, 116)] == [0, 1, 2]
