"""Looking by pasted text, and the order of a maker's page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from breakdesk.desk.looking import look, look_order, match_page, turn_look_order
from breakdesk.desk.problems import Problem
from breakdesk.store import models

if TYPE_CHECKING:
    from conftest import Filled

MAKER = "Pellwether Issue"


def test_a_pasted_page_shows_differences_and_saves_nothing(filled: Filled) -> None:
    filled.load(
        {"tag": "MOVED", "reference": "PI 0001", "pulled_at": "2026-01-01", "submitted_on": "2026-01-02"},
        {"tag": "STILL", "reference": "PI 0002", "pulled_at": "2026-01-01", "submitted_on": "2026-01-02"},
        {"tag": "GONE", "reference": "PI 0003", "pulled_at": "2026-01-01", "submitted_on": "2026-01-02"},
        {"tag": "ELSE", "maker": "Nagisora Card Company", "reference": "PI 0004", "pulled_at": "2026-01-01",
         "submitted_on": "2026-01-02"},
        {"tag": "HERE", "reference": "PI 0005", "pulled_at": "2026-01-01", "submitted_on": "2026-01-02",
         "in_hand_on": "2026-05-01"},
    )  # fmt: skip
    actions = models.Action.select().count()
    found = match_page(filled.desk, MAKER, "PI 0001 shipped\nPI 0002 pending\nPI 0004 shipped\nPI 0005 delivered")
    assert not isinstance(found, Problem)
    assert [match.claim.tag for match in found.matches] == ["MOVED", "STILL"]
    assert [match.claim.tag for match in found.moved] == ["MOVED"]
    assert [claim.tag for claim in found.missing] == ["GONE"]
    assert found.unknown == ("PI 0004", "PI 0005")
    assert models.Action.select().count() == actions
    assert models.Look.select().count() == 0


def test_another_makers_page_is_no_look(filled: Filled) -> None:
    filled.load({"tag": "MINE", "reference": "PI 0001", "pulled_at": "2026-01-01", "submitted_on": "2026-01-02"})
    found = match_page(filled.desk, MAKER, "QW-7001 shipped")
    assert isinstance(found, Problem)
    assert found.sentence == f"None of the references of {MAKER} stands in that text. Is it the right maker's page?"
    assert isinstance(look(filled.desk, MAKER, []), Problem)
    assert models.Look.select().count() == 0


def test_a_maker_that_nobody_knows(filled: Filled) -> None:
    assert isinstance(match_page(filled.desk, "Nobody", ""), Problem)


def test_the_order_of_a_page_is_kept_for_each_maker(filled: Filled) -> None:
    assert look_order(filled.desk, MAKER) == "reference"
    turn_look_order(filled.desk, MAKER)
    assert look_order(filled.desk, MAKER.upper()) == "date"
    assert look_order(filled.desk, "Nagisora Card Company") == "reference"
    turn_look_order(filled.desk, MAKER)
    turn_look_order(filled.desk, MAKER)
    assert look_order(filled.desk, MAKER) == "reference"
