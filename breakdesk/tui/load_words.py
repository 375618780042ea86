"""What a load says on the screen: its problems as rows, what is new, and how far it is."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Final

from breakdesk.desk.describing import what_of
from breakdesk.desk.loading import Counts, LoadReport
from breakdesk.desk.loading.foreseeing import Foretold
from breakdesk.desk.start_line import EXEMPT, Foreseen, Week
from breakdesk.desk.summary import RoundSummary, Summary
from breakdesk.files.headers import LOADING_ORDER, Kind
from breakdesk.files.problems import Problem
from breakdesk.files.typed_paths import typed_paths
from breakdesk.rules.start_line import MOST_WEEKS
from breakdesk.rules.tags import shown as tag_words
from breakdesk.rules.wording import counted
from breakdesk.tui import masking
from breakdesk.tui.masking import Secret
from breakdesk.tui.widgets.bars import bar_line
from breakdesk.tui.widgets.columns import Column
from breakdesk.tui.widgets.fields import Field
from breakdesk.tui.widgets.rows import Row
from breakdesk.tui.widgets.sentences import Sentence
from breakdesk.tui.wording import day_words, short_state

KIND_WORDS: Final = {
    Kind.HOUSE: "The house",
    Kind.MAKERS: "Makers",
    Kind.PARTICIPANTS: "Participants",
    Kind.CHECKLIST: "Checklist cards",
    Kind.SPOTS: "Spots",
    Kind.CLAIMS: "Claims",
}
SECRET_COLUMNS: Final = frozenset(
    ("participant", "email", "phone", "address", "code", "reference", "note", "contact", "channel")
)
"""Columns whose values a stream may not see. A value without a column may be anything, so it is hidden, too."""
PROGRESS_WIDTH: Final = 24
FILES_NAMED: Final = 2
WEEKS_NAMED: Final = 4
EXAMPLES_SHOWN: Final = 3
BEGINNING: Final = (
    "CSV and XLSX files: the house, makers, participants, checklists, spots, claims. The kind of each is known by its "
    "header. Files given together are taken together, all or none; first they are only checked."
)
"""What the screen says before anything was typed."""


def problem_columns(what: str) -> list[Column]:
    """The columns of a list of problems; `what` is the title of what is wrong."""
    return [
        Column(title="File", width=12, stretch=1, priority=5),
        Column(title="Line", width=6, right=True),
        Column(title="Column", width=12, stretch=1),
        Column(title="Value", width=11, stretch=1, priority=2),
        Column(title=what, width=26, stretch=3),
        Column(title="What to do", width=34, stretch=3, priority=4, quiet=True),
    ]


def problem_row(problem: Problem) -> Row:
    """A problem as a row of a list."""
    line = "" if problem.line is None else f"{problem.line:,}"
    cells = (problem.file, line, problem.column or "", value_of(problem), problem.what, problem.remedy)
    return Row(problem, cells)


def value_of(problem: Problem) -> str | Secret:
    """The value that is wrong, hidden on air where it may name a person."""
    value = problem.value or ""
    return masking.note(value) if problem.column is None or problem.column in SECRET_COLUMNS else value


def problem_parts(problem: Problem) -> list[str | Secret]:
    """A problem in one sentence: where, what, the value, and what to do."""
    where = [problem.file]
    if problem.line is not None:
        where.append(f"line {problem.line:,}")
    if problem.column is not None:
        where.append(f"column {problem.column}")
    parts: list[str | Secret] = [f"{', '.join(where)}: {problem.what}"]
    if problem.value:
        parts += [': "', value_of(problem), '"']
    parts.append(f". {problem.remedy}")
    return parts


def found_fields(report: LoadReport) -> list[Field]:
    """How much of each kind there is, and how much of it is new."""
    fields = []
    for kind in LOADING_ORDER:
        counts = report.counts.get(kind)
        if counts is not None and counts.total:
            fields.append(Field(KIND_WORDS[kind], _counted(counts)))
    return fields


def _counted(counts: Counts) -> str:
    parts = ((counts.new, "new"), (counts.changed, "changed"), (counts.known, "known already"))
    return ", ".join(f"{number:,} {word}" for number, word in parts if number)


def due_sentences(before: Summary, after: Summary) -> list[Sentence]:
    """What is due now, and how much of it came by the load."""
    return [
        Sentence(now.name, now.count, f"{now.text}{_difference(then, now)}", "")
        for then, now in zip(before.rounds, after.rounds, strict=True)
    ]


def coming_fields(told: Foretold | None) -> list[Field]:
    """What will be due once the files are in, round by round: then, now, and with a start line."""
    if told is None or told.before is None or told.after is None:
        return []
    fields = []
    for place, (old, new) in enumerate(zip(told.before.rounds, told.after.rounds, strict=True)):
        value = f"{new.count:,} {new.text}" if new.count else "nothing"
        remarks = [] if new.count == old.count else [f"{old.count:,} now"]
        if told.calm is not None and told.calm.after.rounds[place].count != new.count:
            remarks.append(f"{told.calm.after.rounds[place].count:,} with a start line")
        fields.append(Field(new.name[:1].upper() + new.name[1:], value, ", ".join(remarks)))
    return fields


def example_fields(report: LoadReport) -> list[Field]:
    """The first new claims, each in a line."""
    fields = []
    for example in report.examples[:EXAMPLES_SHOWN]:
        claim = example.claim
        owner = {"several": "several", "nobody": "nobody yet"}.get(claim.owner_kind, example.owner)
        parts = [what_of(claim), example.maker or example.product, short_state(claim.state, claim.closed_how or "")]
        whose = owner if claim.owner_kind != "person" else masking.full_name(owner, "hidden on air")
        fields.append(Field(tag_words(claim.tag), whose, " · ".join(part for part in parts if part)))
    return fields


def line_parts(foreseen: Foreseen) -> tuple[str, ...]:
    """What a start line would do, before it is drawn."""
    changed = [
        f"{new.name} {old.count:,} → {new.count:,}"
        for old, new in zip(foreseen.before.rounds, foreseen.after.rounds, strict=True)
        if old.count != new.count
    ]
    lines = [f"Today: {', '.join(changed)}." if changed else "Nothing of today would change."]
    lines += [_week_line(week) for week in foreseen.weeks[:WEEKS_NAMED]]
    more = len(foreseen.weeks) - WEEKS_NAMED
    lines += [f"And so on for {counted(more, 'more week', 'more weeks')}."] if more > 0 else []
    return ("\n".join([*lines, EXEMPT]),)


def _week_line(week: Week) -> str:
    parts = [f"{week.people:,} to tell"] if week.people else []
    parts += [f"{week.claims:,} to ask about"] if week.claims else []
    return f"From {day_words(week.first_day)}: {', '.join(parts) or 'nothing'}."


def weeks_check(text: str) -> str | None:
    """What is wrong with a number of weeks, or None."""
    if text.isascii() and text.isdigit() and len(text) <= 3 and 1 <= int(text) <= MOST_WEEKS:
        return None
    return f"A whole number from 1 to {MOST_WEEKS}."


def _difference(then: RoundSummary, now: RoundSummary) -> str:
    if now.count == then.count:
        return ""
    more = now.count - then.count
    return f", {more:,} more than before" if more > 0 else f", {-more:,} fewer than before"


def progress_words(doing: str, done: int, total: int) -> str:
    """How far a load is, as a line."""
    if total <= 1:
        return f"{doing[:1].upper()}{doing[1:]} …"
    bar = bar_line(done, total, PROGRESS_WIDTH)
    return f"{bar:<{PROGRESS_WIDTH}}  {doing}, {done:,} of {total:,}"


def file_words(names: Iterable[str]) -> str:
    """The files of a load: the first few by name, the rest as a number."""
    listed = list(names)
    shown = ", ".join(listed[:FILES_NAMED])
    more = len(listed) - FILES_NAMED
    return f"{shown} and {more} more" if more > 0 else shown


def typed_words(text: str) -> str:
    """What a line of paths says that is being typed, without the folders."""
    try:
        paths = typed_paths(text)
    except ValueError as error:
        return str(error)
    names = (f"{path.name} ({_what_stands_at(path)})" for path in paths)
    return f"Dots on air, because folders may name people. Typed so far: {file_words(names)}."


def _what_stands_at(path: Path) -> str:
    try:
        return "a folder" if path.is_dir() else "found" if path.exists() else "not found"
    except (OSError, ValueError):
        return "not found"


def warning_count(count: int) -> str:
    """How many warnings there are, as a sentence; empty for none."""
    if not count:
        return ""
    return " One thing to look at." if count == 1 else f" {count:,} things to look at."
