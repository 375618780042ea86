"""The chain of the history: whatever is edited, removed, added or reordered by hand is named."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest
from engines import change_by_hand

from breakdesk.store.chain import broken_links
from breakdesk.store.history import KEYS_AT_ONCE, Line, Stamp, append, canonical, is_done, keep_text, new_key, text_of
from breakdesk.store.models import FreeText
from breakdesk.store.opening import OpenDesk

COPY = "INSERT INTO history_line (action_key, position, thing, thing_id, kind, day, body) SELECT "


def by_hand(desk_file: OpenDesk, *statements: str) -> list[str]:
    """Runs statements on the desk as any other program could, and says what the check finds then."""
    change_by_hand(desk_file.path, *statements)
    return list(broken_links(desk_file.database))


def test_a_whole_history_has_no_broken_link(told: OpenDesk) -> None:
    assert list(broken_links(told.database)) == []


def test_an_empty_desk_has_none_either(desk_file: OpenDesk) -> None:
    assert list(broken_links(desk_file.database)) == []


@pytest.mark.parametrize(
    ("statement", "named"),
    [
        ('UPDATE history_line SET body = \'{"said":"other"}\' WHERE id = 3', "Action 2"),
        ("UPDATE history_line SET day = '2026-03-03' WHERE id = 4", "Action 2"),
        ("UPDATE history_line SET day = 'yesterday' WHERE id = 4", "Action 2"),
        ("UPDATE history_line SET thing_id = 9 WHERE id = 1", "Action 1"),
        ("UPDATE history_line SET kind = 'other' WHERE id = 6", "Action 3"),
        ("UPDATE history_line SET position = 1 - position WHERE action_key = 222", "Action 2"),
        ("UPDATE history_line SET action_key = 111 WHERE id = 3", "Action 1"),
        ("DELETE FROM history_line WHERE id = 5", "Action 3"),
        (COPY + "action_key, 2, thing, thing_id, kind, day, body FROM history_line WHERE id = 2", "Action 1"),
        (COPY + "555, 0, 'claim', 1, 'void', '2026-03-02', '{}'", "Line 7"),
        ("UPDATE action SET who = 'X' WHERE number = 2", "Action 2"),
        ("UPDATE action SET recorded_at = recorded_at + 1 WHERE number = 1", "Action 1"),
        ("UPDATE action SET day = '' WHERE number = 1", "Action 1"),
        ("UPDATE action SET hash = previous WHERE number = 1", "Action 1"),
        ("DELETE FROM action WHERE number = 2", "Action 2 is missing"),
        ("DELETE FROM action WHERE number = 3", "should end at 3"),
        ("DELETE FROM history_head", "ends at action 3"),
        ("UPDATE history_head SET number = 2", "should end at 2"),
        ("UPDATE history_head SET hash = 'x'", "Action 3"),
    ],
)
def test_one_statement_by_hand_is_named(told: OpenDesk, statement: str, named: str) -> None:
    found = by_hand(told, statement)
    assert any(named in sentence for sentence in found), found
    assert all(sentence.endswith(".") for sentence in found)


def test_lines_that_changed_places_are_named(told: OpenDesk) -> None:
    """What is folded in the order of the lines' keys must not be told in another order."""
    within = ("UPDATE history_line SET id = 100 WHERE id = 3", "UPDATE history_line SET id = 3 WHERE id = 4",
              "UPDATE history_line SET id = 4 WHERE id = 100")  # fmt: skip
    assert any("The lines of action 2" in sentence for sentence in by_hand(told, *within))


def test_actions_that_changed_places_are_named(told: OpenDesk) -> None:
    swapped = ("UPDATE action SET number = 9 WHERE number = 1", "UPDATE action SET number = 1 WHERE number = 2",
               "UPDATE action SET number = 2 WHERE number = 9")  # fmt: skip
    found = by_hand(told, *swapped)
    assert any("Action 1 (act 2" in sentence for sentence in found)


def test_erasing_a_text_and_its_salt_leaves_the_chain_whole(told: OpenDesk) -> None:
    with told.database.atomic():
        text_id, digest = keep_text("Ada called.")
        other_id, other = keep_text("Ada called.")
    assert digest != other
    assert text_of(text_id) == "Ada called."
    FreeText.update(text=None, salt=b"").where(FreeText.id == text_id).execute()
    assert (text_of(text_id), text_of(other_id), text_of(None), text_of(10**9)) == (None, "Ada called.", None, None)
    assert list(broken_links(told.database)) == []


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE free_text SET text = 'Ada never called.'",
        "DELETE FROM free_text",
    ],
)
def test_a_text_that_was_changed_by_hand_is_named(told: OpenDesk, statement: str) -> None:
    """A note says what a dispute turns on: the history holds no more than its digest, so that it is compared."""
    with told.database.atomic():
        text_id, digest = keep_text("Ada called.")
        stamp = Stamp(777, "note", "JK", "here", date(2026, 3, 9), datetime(2026, 3, 9, tzinfo=UTC))
        body = canonical({"text": text_id, "text_digest": digest})
        append(told.database, stamp, [Line("claim", 1, "noted", date(2026, 3, 9), body)])
    assert list(broken_links(told.database)) == []
    assert by_hand(told, statement) == [
        "What was written with action 4 (note, 2026-03-09) was changed after it was recorded."
    ]


def test_a_body_has_one_spelling() -> None:
    assert canonical({"b": [1, "ä"], "a": None}) == '{"a":null,"b":[1,"ä"]}'


def test_keys_fit_a_signed_column_and_are_known_once_used(told: OpenDesk) -> None:
    assert all(0 <= new_key() < 2**63 for _ in range(KEYS_AT_ONCE))
    assert is_done(111)
    assert not is_done(112)
