"""An ugly sheet becomes a desk: handles behind names, a forecast of what will be due, and nothing kept of trying."""

from __future__ import annotations

from datetime import timedelta

from breakdesk.desk.checking import verify
from breakdesk.desk.loading import load_files
from breakdesk.desk.loading.foreseeing import foresee_load
from breakdesk.desk.start_line import draw_start_line
from breakdesk.desk.summary import summary
from breakdesk.files.column_map import ColumnMap, DateOrder
from breakdesk.files.headers import Kind
from breakdesk.store import models

OLD = {"subject": "Kit Moor", "maker": "Tern", "pulled_at": "2025-06-01", "submitted_on": "2025-06-02"}


def people(bench) -> list[tuple[str, str]]:
    return bench.rows("SELECT name, handle FROM participant ORDER BY id")


def test_a_handle_in_brackets_becomes_the_handle(bench):
    rows = [{**OLD, "participant": who} for who in ("Ann Moor (@annm)", "Ann Moor", "@annm", "Bo Larch @bo")]
    bench.loaded(claims=rows)
    assert people(bench) == [("Ann Moor", "annm"), ("Bo Larch", "bo")]
    again = bench.loaded(claims=rows)
    assert again.counts[Kind.CLAIMS].known == 4
    assert bench.rows("SELECT thing FROM search_word WHERE word = 'annm'") == [("participant",)]
    assert list(verify(bench.desk)) == []


def test_a_handle_is_added_to_a_known_name_that_has_none(bench):
    bench.loaded(claims=[{**OLD, "participant": "Ann Moor"}])
    bench.loaded(claims=[{**OLD, "tag": "NEW", "participant": "Ann Moor (@annm)"}])
    assert people(bench) == [("Ann Moor", "annm")]


def test_two_people_of_one_name_are_told_apart_by_their_handles(bench):
    bench.loaded(claims=[{**OLD, "participant": who} for who in ("Ann Moor (@one)", "Ann Moor (@two)")])
    assert people(bench) == [("Ann Moor", "one"), ("Ann Moor (@two)", "")]


def test_what_would_be_due_is_told_and_nothing_is_kept(bench):
    paths = bench.write(claims=[{**OLD, "participant": f"Person {n}"} for n in range(1, 6)])
    found = foresee_load(bench.desk, paths)
    assert [item.count for item in found.before.rounds] == [0, 0, 0, 0, 0]
    assert [item.count for item in found.after.rounds] == [0, 5, 5, 0, 0]
    assert [item.count for item in found.calm.after.rounds] == [0, 0, 0, 0, 0]
    assert [example.owner for example in found.report.examples] == [f"Person {n}" for n in range(1, 6)]
    assert models.Claim.select().count() == 0
    assert models.Action.select().count() == 0
    load_files(bench.desk, paths)
    assert [item.count for item in summary(bench.desk).rounds] == [0, 5, 5, 0, 0]
    draw_start_line(bench.desk)
    assert [item.count for item in summary(bench.desk).rounds] == [0, 0, 0, 0, 0]


def test_a_drawn_line_holds_for_what_is_loaded_later(bench):
    draw_start_line(bench.desk, 2)
    paths = bench.write(claims=[{**OLD, "participant": "Ada"}])
    found = foresee_load(bench.desk, paths)
    assert found.calm is None
    assert [item.count for item in found.after.rounds] == [0, 0, 0, 0, 0]
    bench.loaded(claims=[{**OLD, "participant": "Ada"}])
    bench.tell[0] += timedelta(days=14)
    assert [item.count for item in summary(bench.desk).rounds] == [0, 1, 1, 0, 0]


def test_what_is_wrong_or_known_is_not_tried_out(bench):
    wrong = bench.write(claims=[{**OLD, "pulled_at": "never"}])
    assert foresee_load(bench.desk, wrong).after is None
    good = bench.write(claims=[OLD])
    load_files(bench.desk, good)
    assert foresee_load(bench.desk, good).after is None


def test_a_sheet_is_loaded_by_its_match_of_columns(bench):
    path = bench.folder / "sheet.csv"
    path.write_text("Who,What,When,Whose\nAda,Kit Moor,3/4/2026,Tern\n", encoding="utf-8")
    columns = {"who": "participant", "what": "subject", "when": "pulled_at", "whose": "maker"}
    matched = ColumnMap(columns=columns, dates=DateOrder.MONTH_FIRST)
    report = load_files(bench.desk, [path], column_map=matched)
    assert report.saved, report.problems
    assert bench.rows("SELECT subject, pull_day FROM claim") == [("Kit Moor", "2026-03-04")]
