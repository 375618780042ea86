"""Notices of delay on a real desk."""

from __future__ import annotations

from typing import TYPE_CHECKING

from breakdesk.desk.counting import figures
from breakdesk.desk.notices import give_notice, notices_due, people_to_notify
from breakdesk.desk.problems import Done, Problem
from breakdesk.desk.terms import Settle, settle
from breakdesk.desk.undoing import undo
from breakdesk.desk.viewing import today

if TYPE_CHECKING:
    from conftest import Filled


def fill(filled: Filled) -> None:
    filled.load(
        {"tag": "LATE", "participant": "Wren Abernackle", "pulled_at": "2026-05-01", "submitted_on": "2026-05-02"},
        {"tag": "LATER", "participant": "Wren Abernackle", "pulled_at": "2026-05-10", "subject": "Tove Aldan"},
        {"tag": "FRESH", "participant": "Wren Abernackle", "pulled_at": "2026-06-10"},
        {"tag": "SENT", "participant": "Wren Abernackle", "pulled_at": "2026-03-01", "submitted_on": "2026-03-01",
         "in_hand_on": "2026-06-01", "shipped_on": "2026-06-02"},
        {"tag": "OWN", "pulled_at": "2026-03-01"},
    )  # fmt: skip


def test_off_until_the_house_switches_it_on(filled: Filled) -> None:
    fill(filled)
    assert notices_due(filled.desk) == ()
    assert figures(filled.desk).notices == 0
    assert isinstance(settle(filled.desk, Settle(name="delay_notice", value="on", since_always=True)), Done)
    assert [notice.claim.tag for notice in notices_due(filled.desk)] == ["LATE", "LATER"]


def test_one_text_a_participant_with_a_choice(filled: Filled) -> None:
    fill(filled)
    settle(filled.desk, Settle(name="delay_notice", value="on", since_always=True))
    (person,) = people_to_notify(filled.desk)
    assert person.due_on.isoformat() == "2026-05-31"
    assert "Ana Moor" in person.message.text
    assert "Tove Aldan" in person.message.text
    assert "choice" in person.message.text


def test_a_notice_given_starts_the_days_anew_and_can_be_undone(filled: Filled) -> None:
    fill(filled)
    settle(filled.desk, Settle(name="delay_notice", value="on", since_always=True))
    done = give_notice(filled.at(2026, 6, 10, 18), ["LATE", "LATER"], "told by e-mail")
    assert isinstance(done, Done)
    assert notices_due(filled.desk) == ()
    assert figures(filled.desk).notices == 0
    assert [notice.due_on.isoformat() for notice in notices_due(filled.at(2026, 7, 10, 18))] == ["2026-07-10"] * 2 + [
        "2026-07-10"
    ]
    assert figures(filled.at(2026, 7, 10, 18)).notices == 3
    assert isinstance(undo(filled.desk, done.key), Done)
    assert figures(filled.desk).notices == 2
    assert [notice.claim.tag for notice in notices_due(filled.desk)] == ["LATE", "LATER"]


def test_as_of_a_day_in_the_past(filled: Filled) -> None:
    fill(filled)
    settle(filled.desk, Settle(name="delay_notice", value="on", since_always=True))
    assert today(filled.at(2026, 5, 1, 18)).notices == 1
    # The card that was shipped on 2 June was late on 1 May.
    assert [notice.claim.tag for notice in notices_due(filled.at(2026, 5, 1, 18))] == ["SENT"]


def test_no_notice_for_what_nobody_waits_for(filled: Filled) -> None:
    fill(filled)
    assert isinstance(give_notice(filled.desk, ["OWN"]), Problem)
    assert isinstance(give_notice(filled.desk, ["SENT"]), Problem)
    assert isinstance(give_notice(filled.desk, []), Problem)


def test_the_houses_own_wording_is_used(filled: Filled) -> None:
    fill(filled)
    settle(filled.desk, Settle(name="delay_notice", value="on", since_always=True))
    folder = filled.desk.folder / "templates"
    folder.mkdir(parents=True)
    (folder / "delay_notice.txt").write_text("{{ name }}: {{ count }} late.", encoding="utf-8")
    (person,) = people_to_notify(filled.desk)
    assert person.message.text.strip() == "Wren Abernackle: 2 late."
