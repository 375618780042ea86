"""Running a break: its clock, its video, its last claims and its spots."""

from __future__ import annotations

from datetime import date

from breakdesk.desk.breaks import break_state, caught, end_break, list_breaks, spot_board, start_break
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.video import correct_offset, seen_now, set_video
from breakdesk.rules.entry import Kept

from .conftest import Night


def test_the_stream_clock_stamps_every_claim_and_stops_at_the_end(night: Night) -> None:
    assert isinstance(start_break(night.desk, night.break_id), Done)
    night.wait(90)
    claim = night.caught("marl")
    assert claim.video_seconds == 90
    state = break_state(night.desk, night.break_id)
    assert state is not None
    assert (state.running, state.claims, state.stream_seconds(night.tell[0])) == (True, 1, 90)
    assert isinstance(end_break(night.desk, night.break_id, 1), Done)
    state = break_state(night.desk, night.break_id)
    assert state is not None
    assert state.stream_seconds(night.tell[0]) is None


def test_a_corrected_clock_moves_every_claim_of_the_break(night: Night) -> None:
    start_break(night.desk, night.break_id)
    night.wait(60)
    first = night.caught("marl")
    night.wait(60)
    second = night.caught("oster")
    assert isinstance(correct_offset(night.desk, night.break_id, 30), Done)
    assert [night.claim(claim.id).video_seconds for claim in (first, second)] == [90, 150]
    assert isinstance(correct_offset(night.desk, night.break_id, -90), Done)
    assert [night.claim(claim.id).video_seconds for claim in (first, second)] == [0, 30]


def test_a_break_that_never_started_has_no_clock_to_correct(night: Night) -> None:
    assert isinstance(correct_offset(night.desk, night.break_id, 30), Problem)


def test_seen_now_stamps_the_instant_and_goes_first(night: Night) -> None:
    start_break(night.desk, night.break_id)
    claim = night.caught("marl")
    night.wait(200)
    assert isinstance(seen_now(night.desk, claim.tag, "@viewer"), Done)
    seen = night.claim(claim.id)
    assert (seen.seen_on_camera, seen.video_seconds) == (True, 200)


def test_a_video_is_a_web_address(night: Night) -> None:
    assert isinstance(set_video(night.desk, night.break_id, "javascript:alert(1)"), Problem)
    assert isinstance(set_video(night.desk, night.break_id, "https://video.example/1", date(2026, 9, 1)), Done)
    state = break_state(night.desk, night.break_id)
    assert state is not None
    assert (state.video_link, state.video_kept_until) == ("https://video.example/1", date(2026, 9, 1))


def test_the_board_counts_hits_and_names_unsold_spots(night: Night) -> None:
    night.caught("marl")
    night.caught("marl /10")
    board = {line.holds: line for line in spot_board(night.desk, night.break_id)}
    assert (board["Marsh Herons"].owners, board["Marsh Herons"].hits) == (("Petra",), 2)
    assert board["Hill Foxes"].owners == ()


def test_the_last_claims_stand_first_with_their_people(night: Night) -> None:
    night.caught("marl")
    night.wait(5)
    night.caught("marlowe oster")
    items = caught(night.desk, night.break_id)
    assert [[person.handle for person in item.people] for item in items] == [["petrichor", "odolind"], ["petrichor"]]
    assert list_breaks()[0].claims == 2


def test_an_expiry_is_held_against_the_makers_date(night: Night) -> None:
    table = night.table()
    assert table.today(None, night.tell[0]) == date(2026, 6, 15)
    assert night.enter("ivo kest", Kept(box=2))
