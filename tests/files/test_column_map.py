"""Spreadsheets as people have them: whose columns mean what, kept under a name, and dates with two readings."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.files.column_map import (
    ColumnMap,
    DateOrder,
    as_text,
    from_text,
    heading_keys,
    load_map,
    save_map,
    saved_names,
    with_column,
)
from breakdesk.files.dates import parse_day
from breakdesk.files.headers import Kind, columns_of
from breakdesk.files.problems import Problem
from breakdesk.files.rows import parse_rows
from breakdesk.files.sketching import sketch
from breakdesk.files.tables import read_tables
from breakdesk.files.unreadable import Unreadable

TODAY = date(2026, 6, 15)
SHEET = "Who,What,When came,When came,Whose,\nAnn Moor,Kit Moor,3/4/2026,,Tern,x\n"


def written(folder: Path, text: str, name: str = "sheet.csv") -> Path:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def by_hand(**more: object) -> ColumnMap:
    columns = {"Who": "participant", "What": "subject", "When came": "pulled_at", "When came##2": "submitted_on",
               "Whose": "maker"}  # fmt: skip
    return from_text(json.dumps({"kind": "claims", "columns": columns, **more}))


@settings(max_examples=100, deadline=None)
@given(
    st.sampled_from(list(Kind)).flatmap(
        lambda kind: st.builds(
            ColumnMap,
            kind=st.just(kind),
            columns=st.dictionaries(st.text("abcdef", min_size=1), st.sampled_from([*columns_of(kind), None])).map(
                lambda found: {key: column for key, column in found.items()
                               if column is None or list(found.values()).count(column) == 1}
            ),
            dates=st.sampled_from(DateOrder),
        )
    )
)  # fmt: skip
def test_what_is_kept_is_read_again(column_map):
    assert from_text(as_text(column_map)) == column_map


@pytest.mark.parametrize(
    "text",
    ["", "[]", '"x"', '{"kind": "claims"}', '{"kind": "cards", "columns": {}}', '{"dates": "both", "columns": {}}',
     '{"columns": {"a": "colour"}}', '{"columns": {"a": "tag", "b": "tag"}}', '{"columns": {"a": ["tag"]}}',
     '{"columns": {}, "more": 1}', "[" * 100_000],
)  # fmt: skip
def test_what_is_no_match_is_refused_with_a_sentence(text):
    with pytest.raises(ValueError, match=r"\."):
        from_text(text)


def test_headings_alike_and_empty_ones_are_told_apart():
    assert heading_keys(("Date", "date ", "", "")) == ("date", "date##2", "##3", "##4")


def test_a_sheet_whose_headings_nobody_knows_is_sketched_and_then_read_by_a_match(tmp_path):
    path = written(tmp_path, SHEET)
    found = sketch(path)
    assert not isinstance(found, Problem)
    assert found.headings[:3] == ("Who", "What", "When came")
    assert found.samples[0] == ("Ann Moor",)
    assert not read_tables(path).tables
    (table,) = read_tables(path, by_hand(dates="day_first")).tables
    rows, problems = parse_rows(table, "America/Chicago", "USD", TODAY)
    assert problems == []
    assert [(row.participants, row.subject, row.maker, row.pulled_at.day) for row in rows] == [
        (("Ann Moor",), "Kit Moor", "Tern", date(2026, 4, 3))
    ]


def test_a_match_is_for_the_sheet_with_its_headings_only(tmp_path):
    other = written(tmp_path, "pulled_at,subject,maker\n2026-04-03,Kit Moor,Tern\n")
    (table,) = read_tables(other, by_hand(dates="day_first")).tables
    assert table.columns == ("pulled_at", "subject", "maker")
    assert table.dates == ""


@pytest.mark.parametrize(
    ("text", "month_first", "day_first"),
    [("3/4/2026", date(2026, 3, 4), date(2026, 4, 3)), ("03.04.26", date(2026, 3, 4), date(2026, 4, 3)),
     ("13/4/2026", date(2026, 4, 13), date(2026, 4, 13)), ("4/13/2026", date(2026, 4, 13), date(2026, 4, 13)),
     ("2026-04-03", date(2026, 4, 3), date(2026, 4, 3)), ("3/4/2026 20:15", date(2026, 3, 4), date(2026, 4, 3))],
)  # fmt: skip
def test_an_order_settles_only_what_has_two_readings(text, month_first, day_first):
    assert parse_day(text, "month_first") == month_first
    assert parse_day(text, "day_first") == day_first
    for order in ("", "ask"):
        if month_first != day_first:
            with pytest.raises(Unreadable):
                parse_day(text, order)
        else:
            assert parse_day(text, order) == month_first


def test_one_column_of_ours_belongs_to_one_of_theirs():
    changed = with_column(by_hand(), "what", "participant")
    assert changed.columns["who"] is None
    assert changed.columns["what"] == "participant"


def test_matches_are_kept_by_name_in_the_desks_folder(tmp_path):
    assert saved_names(tmp_path) == ()
    save_map(tmp_path, "Night sheet", by_hand())
    assert load_map(tmp_path, " Night  sheet ") == by_hand()
    assert saved_names(tmp_path) == ("Night sheet",)
    for name in ("", "../out", "a/b", "CON:", "x" * 41, ".hidden", "con."):
        with pytest.raises(ValueError, match=r"\."):
            save_map(tmp_path, name, by_hand())
    with pytest.raises(ValueError, match="Night sheet"):
        load_map(tmp_path, "another")


def test_a_heading_over_two_lines_and_one_merged_over_several_columns(tmp_path):
    text = "Buyer,,Dates,\n,Player,Pulled,Redeemed\nAnn,Kit Moor,2026-04-03,\n"
    (table,) = read_tables(written(tmp_path, text)).tables
    assert table.columns == ("participant", "subject", "pulled_at", "submitted_on")


def test_several_cards_in_one_cell_become_as_many_claims(tmp_path):
    head = "subject,pulled_at,maker,numbered_to,reference,value\n"
    text = f'{head}"Kit Moor\nLee Dunn",2026-04-03,Tern,"#/25\n1 of 1",R-1,"5\n6"\n'
    (table,) = read_tables(written(tmp_path, text)).tables
    rows, problems = parse_rows(table, "America/Chicago", "USD", TODAY)
    assert [(row.subject, row.numbered_to, row.serial, row.reference, row.value.minor, row.line) for row in rows] == [
        ("Kit Moor", 25, None, "R-1", 500, 2),
        ("Lee Dunn", 1, 1, "R-1", 600, 2),
    ]
    assert [problem.severity for problem in problems] == ["warning"]


@pytest.mark.parametrize("column", ["code", "value", "tag", "serial"])
def test_what_only_one_card_can_have_is_not_shared_out(tmp_path, column):
    text = f'subject,pulled_at,maker,{column}\n"Kit Moor\nLee Dunn",2026-04-03,Tern,7\n'
    (table,) = read_tables(written(tmp_path, text)).tables
    _, problems = parse_rows(table, "America/Chicago", "USD", TODAY)
    assert {problem.column for problem in problems if problem.severity == "error"} == {column}


def test_several_subjects_of_one_card_stay_one_claim(tmp_path):
    text = "subject,pulled_at,maker\nKit Moor; Lee Dunn,2026-04-03,Tern\n"
    (table,) = read_tables(written(tmp_path, text)).tables
    rows, problems = parse_rows(table, "America/Chicago", "USD", TODAY)
    assert [row.subject for row in rows] == ["Kit Moor;Lee Dunn"]
    assert problems == []
