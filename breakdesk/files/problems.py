"""What is wrong in a file: where, what, and what to do about it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from breakdesk.files.plain_text import shown_in_a_line

MOST_LISTED = 1_000
PRIVATE_COLUMNS = frozenset({"code", "reference", "email", "phone", "address"})
"""Columns whose values no sentence repeats: sentences are read on a stream, and kept in the logs of other programs."""


class Severity(StrEnum):
    """An error keeps the whole file out; a warning does not."""

    ERROR = "error"
    WARNING = "warning"


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing to correct. `what` and `remedy` are written without the value, which is text from outside."""

    file: str
    line: int | None
    column: str | None
    value: str | None
    what: str
    remedy: str
    severity: Severity = Severity.ERROR


def problem_sentence(problem: Problem) -> str:
    """Word one problem in one line: `spots.csv, line 4, column price_paid: not an amount of money: "abc". Write …`."""
    where = [shown_in_a_line(problem.file, 120)]
    if problem.line is not None:
        where.append(f"line {problem.line}")
    if problem.column is not None:
        where.append(f"column {shown_in_a_line(problem.column)}")
    hidden = problem.value is None or problem.column in PRIVATE_COLUMNS
    value = "" if hidden else f': "{shown_in_a_line(problem.value or "")}"'
    remedy = f" {problem.remedy}" if problem.remedy else ""
    warning = "warning: " if problem.severity is Severity.WARNING else ""
    sentence = f"{', '.join(where)}: {warning}{problem.what}{value}.{remedy}"
    return shown_in_a_line(sentence, len(sentence))


def has_errors(problems: Iterable[Problem]) -> bool:
    """Tell whether any of the problems keeps the file out."""
    return any(problem.severity is Severity.ERROR for problem in problems)


def listed(problems: list[Problem], most: int = MOST_LISTED) -> list[Problem]:
    """Return the problems by line, errors never crowded out by warnings, and one sentence for those past the limit."""
    ordered = sorted(problems, key=lambda problem: (problem.severity is Severity.WARNING, problem.line or 0))
    kept, rest = ordered[:most], ordered[most:]
    kept.sort(key=lambda problem: problem.line or 0)
    if rest:
        severity = Severity.ERROR if has_errors(rest) else Severity.WARNING
        more = f"{len(rest)} more problems are not listed"
        kept.append(Problem(rest[0].file, None, None, None, more, "Correct the ones above and load again.", severity))
    return kept
