"""Drawing a start line: shown before it is done, calm afterwards, deadlines as before, and the past as it was."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from breakdesk.desk.checking import verify
from breakdesk.desk.clock import Clock
from breakdesk.desk.desk import Desk, open_desk
from breakdesk.desk.loading import load_files
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.start_line import draw_start_line, foresee
from breakdesk.desk.summary import summary
from breakdesk.desk.terms import Settle, settle
from breakdesk.desk.undoing import last_actions, undo
from breakdesk.desk.viewing import today
from breakdesk.files.as_json import today_json
from breakdesk.store.engine import run

NOW = datetime(2026, 6, 15, 17, tzinfo=UTC)
ROWS = [
    "tag,maker,participant,subject,pulled_at,expires_on,submitted_on,last_asked_on,last_told_on,in_hand_on,refused_on",
    *(f"OLD{n},Tern,Person {n},Kit Moor,2025-06-0{n},,2025-06-1{n},,,," for n in range(1, 9)),
    *(f"ASKED{n},Tern,Person {n},Kit Moor,2025-06-0{n},,2025-06-1{n},2026-01-1{n},2025-07-01,," for n in range(1, 9)),
    "BURNS,Tern,Person 1,Kit Moor,2026-06-14,2026-06-16,,,,,",
    "HERE,Tern,Person 2,Kit Moor,2025-06-01,,2025-06-02,,2025-06-02,2026-06-10,",
    "NO,Tern,Person 3,Kit Moor,2025-06-01,,2025-06-02,,2025-06-02,,2026-06-01",
]


@pytest.fixture
def desk(tmp_path: Path) -> Iterator[Desk]:
    file = tmp_path / "list.csv"
    file.write_text("\n".join(ROWS), encoding="utf-8")
    opened = open_desk(tmp_path / "desk.db", Clock(lambda: NOW), create=True, who="T")
    assert load_files(opened, [file]).saved
    yield opened
    assert list(verify(opened)) == []
    opened.close()


def counts(desk: Desk) -> dict[str, int]:
    return {item.name: item.count for item in summary(desk).rounds}


def lists(desk: Desk) -> dict[str, Any]:
    view = today(desk)
    return today_json(view.today, view.parties)


def test_it_is_shown_first_and_only_then_done(desk: Desk) -> None:
    before = counts(desk)
    assert before == {"submit": 1, "ask": 16, "tell": 8, "ship": 1, "decide": 9}
    foreseen = foresee(desk, 4)
    assert not isinstance(foreseen, Problem)
    assert counts(desk) == before
    assert len(foreseen.weeks) == 4
    assert sum(week.claims for week in foreseen.weeks) == 16
    assert isinstance(draw_start_line(desk, 4), Done)
    after = counts(desk)
    assert after == {item.name: item.count for item in foreseen.after.rounds}
    # The card that is here and the refusal still press; the old silence and the old asks do not.
    assert after == {"submit": 1, "ask": 0, "tell": 2, "ship": 1, "decide": 1}


def test_everything_has_come_by_the_end_of_its_weeks(desk: Desk) -> None:
    draw_start_line(desk, 3)
    later = desk.at(Clock(lambda: NOW + timedelta(days=21)))
    assert counts(later)["ask"] == 16
    assert counts(later)["tell"] == 8


def test_a_day_before_the_line_is_as_it_was_and_taking_it_away_brings_all_back(desk: Desk) -> None:
    yesterday = desk.at(Clock(lambda: NOW, NOW - timedelta(days=1)))
    then, now = lists(yesterday), lists(desk)
    draw_start_line(desk, 4)
    assert lists(yesterday) == then
    draw_start_line(desk, 0)
    assert lists(desk) == now


def test_history_tells_of_it(desk: Desk) -> None:
    draw_start_line(desk, 2)
    line = run(desk.database, "SELECT thing, kind, body FROM history_line ORDER BY id DESC LIMIT 1").fetchone()
    assert tuple(line) == ("house", "settled", '{"from":"2026-06-15","name":"start_line_weeks","value":"2"}')


@pytest.mark.parametrize("weeks", [-1, 27])
def test_weeks_out_of_range_are_refused(desk: Desk, weeks: int) -> None:
    assert isinstance(draw_start_line(desk, weeks), Problem)
    assert isinstance(foresee(desk, weeks), Problem)


def test_no_line_on_another_day(desk: Desk) -> None:
    assert isinstance(settle(desk, Settle(name="start_line_weeks", value="4", since_always=True)), Problem)
    assert isinstance(
        settle(desk, Settle(name="start_line_weeks", value="4", from_day=NOW.date().replace(day=1))), Problem
    )


def test_it_is_undone_and_done_again_like_any_other_action(desk: Desk) -> None:
    before = counts(desk)
    done = draw_start_line(desk, 4)
    assert isinstance(done, Done)
    calm = counts(desk)
    latest = last_actions()[0]
    assert (latest.key, latest.words) == (done.key, "start line")
    undone = undo(desk, latest.key)
    assert isinstance(undone, Done)
    assert undone.said == "Undone: start line."
    assert counts(desk) == before
    again = undo(desk, last_actions()[0].key)
    assert isinstance(again, Done)
    assert counts(desk) == calm


def test_undoing_a_second_line_leaves_the_first_and_a_later_change_keeps_it_from_being_undone(desk: Desk) -> None:
    assert isinstance(draw_start_line(desk, 2), Done)
    first = counts(desk), last_actions()[0].key
    second = draw_start_line(desk, 8)
    assert isinstance(second, Done)
    assert isinstance(undo(desk, first[1]), Problem)
    assert isinstance(undo(desk, second.key), Done)
    assert counts(desk) == first[0]
    assert isinstance(undo(desk, first[1]), Done)
