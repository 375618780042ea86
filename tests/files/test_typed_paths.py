"""Paths as people type, paste and drop them."""

from __future__ import annotations

from pathlib import Path

import pytest

from breakdesk.files.typed_paths import typed_paths, with_folders_opened


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("", []),
        ("   ", []),
        ("a.csv", ["a.csv"]),
        ("a.csv b.csv", ["a.csv", "b.csv"]),
        ("a.csv  a.csv", ["a.csv"]),
        ("'my claims.csv' b.csv", ["my claims.csv", "b.csv"]),
        ('"my claims.csv"', ["my claims.csv"]),
        (r"my\ claims.csv b.csv", ["my claims.csv", "b.csv"]),
        ("#1.csv", ["#1.csv"]),
        ("a;b.csv", ["a;b.csv"]),
    ],
)
def test_several_in_a_line(text, names):
    assert typed_paths(text, backslash_quotes=True) == [Path(name) for name in names]


def test_where_a_backslash_parts_folders_it_is_kept():
    text = r'C:\files\a.csv "C:\my files\b.csv"'
    assert typed_paths(text, backslash_quotes=False) == [Path(r"C:\files\a.csv"), Path(r"C:\my files\b.csv")]


def test_home_is_understood(monkeypatch, tmp_path):
    monkeypatch.setenv("HOME", str(tmp_path))
    monkeypatch.setenv("USERPROFILE", str(tmp_path))
    assert typed_paths("~/a.csv") == [tmp_path / "a.csv"]
    assert typed_paths("~nobody_of_this_name/a.csv") == [Path("~nobody_of_this_name/a.csv")]


def test_one_existing_path_needs_no_quotation_marks(tmp_path):
    path = tmp_path / "it's my night.csv"
    path.write_text("spot")
    assert typed_paths(f"  {path} ") == [path]


def test_an_open_quotation_mark_is_said():
    with pytest.raises(ValueError, match="quotation mark"):
        typed_paths("'my claims.csv")


def test_a_folder_stands_for_its_tables_by_name(tmp_path):
    for name in ("b.csv", "a.XLSX", "notes.md", ".hidden.csv", "~$a.xlsx"):
        (tmp_path / name).write_text("x")
    (tmp_path / "more.csv").mkdir()
    gone = tmp_path / "gone.csv"
    assert with_folders_opened([gone, tmp_path]) == [gone, tmp_path / "a.XLSX", tmp_path / "b.csv"]


def test_a_folder_without_tables_is_said(tmp_path):
    with pytest.raises(ValueError, match="holds no table"):
        with_folders_opened([tmp_path])


def test_a_folder_with_too_many_is_said(tmp_path, monkeypatch):
    monkeypatch.setattr("breakdesk.files.typed_paths.MOST_IN_A_FOLDER", 2)
    for number in range(3):
        (tmp_path / f"{number}.csv").write_text("x")
    with pytest.raises(ValueError, match="holds 3 tables"):
        with_folders_opened([tmp_path])
