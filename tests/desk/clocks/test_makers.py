"""One maker, all its claims: one action marks them all, and one takes it back."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

import pytest

from breakdesk.desk.clock_check import clock_warning
from breakdesk.desk.counting import figures
from breakdesk.desk.following import note
from breakdesk.desk.makers import MarkMaker, clear_maker, look_again, mark_maker, marked_makers
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.telling import telling_for
from breakdesk.desk.undoing import undo
from breakdesk.desk.viewing import today
from breakdesk.store import models

if TYPE_CHECKING:
    from conftest import Filled

    from breakdesk.desk.desk import Desk

MAKER, OTHER = "Pellwether Issue", "Nagisora Card Company"
REQUEST = MarkMaker(
    maker=MAKER,
    what="has closed its doors",
    review_on=date(2026, 9, 1),
    text="The maker of your card has closed. We are finding out what becomes of it.",
    successor=OTHER,
)


def fill(filled: Filled) -> None:
    told = {"last_told_on": "2026-06-14"}
    waits = {**told, "pulled_at": "2026-01-01", "submitted_on": "2026-01-01"}
    wren = {**waits, "participant": "Wren Abernackle"}
    filled.load(
        {**wren, "tag": "WAITS"},
        {**told, "tag": "PULLED", "participant": "Odalys Brumal", "pulled_at": "2026-06-14"},
        {**waits, "tag": "OWN"},
        {**wren, "tag": "CAME", "in_hand_on": "2026-06-01"},
        {**wren, "tag": "OTHER", "maker": OTHER},
    )


def asked(desk: Desk) -> list[str]:
    return sorted(item.claim.tag for maker in today(desk).today.ask for item in maker.claims)


def news(filled: Filled) -> list[tuple[str, str]]:
    rows = models.ClaimNews.select(models.ClaimNews, models.Claim).join(models.Claim)
    return sorted((row.claim.tag, row.word) for row in rows)


def test_everything_at_once(filled: Filled) -> None:
    fill(filled)
    assert asked(filled.desk) == ["OTHER", "OWN", "WAITS"]
    done = mark_maker(filled.desk, REQUEST)
    assert isinstance(done, Done)
    assert asked(filled.desk) == ["OTHER"]
    assert asked(filled.at(2026, 9, 1, 18)) == ["OTHER", "OWN", "WAITS"]
    assert news(filled) == [("PULLED", "noted"), ("WAITS", "noted")]
    person = models.Participant.get(models.Participant.name == "Wren Abernackle").id
    assert REQUEST.text in telling_for(filled.desk, person).message.text
    (marked,) = marked_makers(filled.desk)
    assert (marked.name, marked.what, marked.successor, marked.claims) == (MAKER, "has closed its doors", OTHER, 3)
    assert not marked.is_due
    assert marked_makers(filled.at(2026, 9, 1, 18))[0].is_due


def test_undone_as_one_and_done_again(filled: Filled) -> None:
    fill(filled)
    done = mark_maker(filled.desk, REQUEST)
    assert isinstance(done, Done)
    undone = undo(filled.desk, done.key)
    assert isinstance(undone, Done), undone
    assert asked(filled.desk) == ["OTHER", "OWN", "WAITS"]
    assert (news(filled), marked_makers(filled.desk)) == ([], ())
    assert isinstance(undo(filled.desk, done.key), Problem)
    assert isinstance(undo(filled.desk, undone.key), Done)
    assert asked(filled.desk) == ["OTHER"]
    assert [marked.successor for marked in marked_makers(filled.desk)] == [OTHER]


def test_an_earlier_mark_comes_back(filled: Filled) -> None:
    fill(filled)
    mark_maker(filled.desk, MarkMaker(maker=MAKER, what="moves house", review_on=date(2026, 7, 1), hold_asks=False))
    assert asked(filled.desk) == ["OTHER", "OWN", "WAITS"]
    second = mark_maker(filled.desk, REQUEST)
    assert isinstance(second, Done)
    undo(filled.desk, second.key)
    assert [(marked.what, marked.review_on) for marked in marked_makers(filled.desk)] == [
        ("moves house", date(2026, 7, 1))
    ]


def test_a_maker_without_claims_can_be_marked_and_undone(filled: Filled) -> None:
    done = mark_maker(filled.desk, REQUEST)
    assert isinstance(done, Done)
    assert len(marked_makers(filled.desk)) == 1
    assert isinstance(undo(filled.desk, done.key), Done)
    assert marked_makers(filled.desk) == ()
    assert isinstance(undo(filled.desk, done.key), Problem)


def test_not_undone_where_something_later_stands_on_it(filled: Filled) -> None:
    fill(filled)
    done = mark_maker(filled.desk, REQUEST)
    assert isinstance(done, Done)
    note(filled.desk, "WAITS", "they called")
    assert isinstance(undo(filled.desk, done.key), Problem)
    assert len(marked_makers(filled.desk)) == 1


def test_cleared_the_claims_may_be_asked_about_again(filled: Filled) -> None:
    fill(filled)
    mark_maker(filled.desk, REQUEST)
    assert isinstance(clear_maker(filled.desk, MAKER), Done)
    assert asked(filled.desk) == ["OTHER", "OWN", "WAITS"]
    assert marked_makers(filled.desk) == ()
    assert isinstance(clear_maker(filled.desk, MAKER), Problem)


def to_review(desk: Desk) -> list[tuple[str, str, date]]:
    found = [(item.review, item.why) for item in today(desk).today.decide]
    assert figures(desk).decide["follow_up"] == sum(why == "follow_up" for _, why in found)
    return [(review.maker, review.what, review.due_on) for review, _ in found if review is not None]


def test_the_review_waits_for_a_decision_from_its_day_on(filled: Filled) -> None:
    fill(filled)
    mark_maker(filled.desk, REQUEST)
    due = [(MAKER, "has closed its doors", date(2026, 9, 1))]
    assert to_review(filled.desk) == []
    assert to_review(filled.at(2026, 9, 1, 5)) == []
    assert to_review(filled.at(2026, 9, 1, 18)) == due
    filled.clock[0] = datetime(2026, 9, 3, 18, tzinfo=UTC)
    assert to_review(filled.desk) == due
    assert asked(filled.desk) == ["OTHER", "OWN", "WAITS"]
    assert isinstance(look_again(filled.desk, MAKER, date(2026, 9, 3)), Problem)
    moved = look_again(filled.desk, MAKER, date(2026, 10, 1))
    assert isinstance(moved, Done), moved
    assert (to_review(filled.desk), asked(filled.desk)) == ([], ["OTHER"])
    assert to_review(filled.at(2026, 9, 2, 18)) == due
    assert isinstance(undo(filled.desk, moved.key), Done)
    assert (to_review(filled.desk), asked(filled.desk)) == (due, ["OTHER", "OWN", "WAITS"])
    assert isinstance(clear_maker(filled.desk, MAKER), Done)
    assert to_review(filled.desk) == []


def test_undone_with_its_mark_nothing_is_left_to_be_reviewed(filled: Filled) -> None:
    fill(filled)
    done = mark_maker(filled.desk, REQUEST)
    assert isinstance(done, Done)
    undo(filled.desk, done.key)
    assert to_review(filled.at(2026, 9, 1, 18)) == []
    assert isinstance(look_again(filled.desk, MAKER, date(2026, 10, 1)), Problem)


@pytest.mark.parametrize(
    "changes",
    [
        {"maker": "Nobody"}, {"what": " "}, {"what": "x" * 201}, {"review_on": date(2026, 6, 15)},
        {"successor": MAKER}, {"successor": "Nobody"},
    ],
)  # fmt: skip
def test_what_makes_no_sense_is_refused(filled: Filled, changes: dict[str, object]) -> None:
    given = {"maker": MAKER, "what": "moves", "review_on": date(2026, 7, 1), **changes}
    assert isinstance(mark_maker(filled.desk, MarkMaker(**given)), Problem)  # type: ignore[arg-type]
    assert marked_makers(filled.desk) == ()


def test_a_clock_that_went_backwards_is_said(filled: Filled) -> None:
    fill(filled)
    assert clock_warning(filled.desk) == ""
    filled.clock[0] = datetime(2026, 6, 15, 17, 59, tzinfo=UTC)
    assert clock_warning(filled.desk) == ""
    filled.clock[0] = datetime(2026, 6, 14, 18, 0, tzinfo=UTC)
    assert "says 14 June 2026, 12:00, but the desk recorded something on 15 June 2026, 12:00" in clock_warning(
        filled.desk
    )
    # What is recorded by the wrong clock does not make it the right one.
    mark_maker(filled.desk, REQUEST)
    assert clock_warning(filled.desk) != ""


def test_a_new_desk_trusts_its_clock(filled: Filled) -> None:
    assert clock_warning(filled.at(2020, 1, 1)) == ""
