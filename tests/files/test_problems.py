"""A problem is one line that a person can act on, whatever stands in the cell."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.files.problems import Problem, Severity, has_errors, listed, problem_sentence


def test_a_sentence_says_where_what_and_what_to_do() -> None:
    problem = Problem("spots.csv", 4, "price_paid", "abc", "this is not an amount of money", "Write it like 12.50.")
    assert problem_sentence(problem) == (
        'spots.csv, line 4, column price_paid: this is not an amount of money: "abc". Write it like 12.50.'
    )


@pytest.mark.parametrize("column", ["code", "reference", "email", "phone", "address"])
def test_a_sentence_never_repeats_what_nobody_else_may_read(column: str) -> None:
    problem = Problem("claims.csv", 4, column, "Q-2", "the desk has something else", "Correct it.", Severity.WARNING)
    assert problem_sentence(problem) == (
        f"claims.csv, line 4, column {column}: warning: the desk has something else. Correct it."
    )


def test_a_warning_says_that_it_is_one() -> None:
    problem = Problem("a.csv", None, None, None, "nothing is in it", "", Severity.WARNING)
    assert problem_sentence(problem) == "a.csv: warning: nothing is in it."


@given(st.text(), st.text(), st.text(), st.text(), st.text())
@settings(max_examples=100, deadline=None)
def test_no_text_from_outside_breaks_the_line_or_reaches_the_terminal_as_a_control(
    file: str, column: str, value: str, what: str, remedy: str
) -> None:
    sentence = problem_sentence(Problem(file, 1, column, value, what, remedy))
    assert all(unicodedata.category(character) not in ("Cc", "Zl", "Zp", "Cs") for character in sentence)
    assert not set(sentence) & set("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


def test_a_long_value_is_shortened() -> None:
    assert len(problem_sentence(Problem("a.csv", 1, "b", "x" * 100_000, "too long", ""))) < 120


def test_errors_are_never_crowded_out_by_warnings() -> None:
    warnings = [Problem("a.csv", line, None, None, "odd", "", Severity.WARNING) for line in range(5)]
    error = Problem("a.csv", 9, None, None, "wrong", "")
    kept = listed([*warnings, error], most=3)
    assert error in kept
    assert len(kept) == 4
    assert "3 more problems" in problem_sentence(kept[-1])
    assert has_errors(kept)
    assert not has_errors(warnings)


def test_errors_past_the_limit_still_keep_the_file_out() -> None:
    errors = [Problem("a.csv", line, None, None, "wrong", "") for line in range(10)]
    assert has_errors(listed(errors, most=0))
