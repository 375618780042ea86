"""The table of outside checks, read off the tests themselves.

Run `python tests/outside/table.py` to write docs/outside-checks.md anew after a test was added, moved or renamed.
The tests are parsed, never imported, so that the table can be written wherever Python runs.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
TABLE = ROOT / "docs" / "outside-checks.md"

_INTRODUCTION = """\
# Outside checks

Every rule below is checked against something that is not ours: a published text or value, or another library.
"Computed from" means that nobody published the value: it follows from the rule named, and the library named agrees.
The table is written by `python tests/outside/table.py`; a test fails where it and the tests disagree.

"""
_HEADER = ("rule", "source", "test (path::name)")


class Check(NamedTuple):
    """One outside check: the rule, its source, and the test as `path::name`."""

    rule: str
    source: str
    test: str


def collect(root: Path) -> list[Check]:
    """Return the checks of all test files under `root`/tests, by path, then in the order of the file.

    Raises ValueError, naming file and line, for a marker whose rule or source is not plain text.
    """
    return [check for path in sorted((root / "tests").rglob("test_*.py")) for check in _checks_of(path, root)]


def render(checks: list[Check]) -> str:
    """Return the page as Markdown."""
    lines = [_row(_HEADER), _row(("---",) * len(_HEADER)), *(_row(check) for check in checks)]
    return _INTRODUCTION + "\n".join(lines) + "\n"


def read(page: str) -> list[Check]:
    """Return the checks that stand in the table of a page."""
    rows = [_cells(line) for line in page.splitlines() if line.startswith("|")]
    return [Check(*row) for row in rows[2:]]


def _checks_of(path: Path, root: Path) -> Iterator[Check]:
    module = ast.parse(path.read_text(encoding="utf-8"), filename=str(path))
    texts = _plain_texts(module)
    place = path.relative_to(root).as_posix()
    for name, nodes in _tests_of(module.body, place, _pytestmarks(module.body)):
        for call in (call for node in nodes for call in ast.walk(node) if _is_outside_marker(call)):
            assert isinstance(call, ast.Call)
            given = {keyword.arg: _text(keyword.value, texts) for keyword in call.keywords}
            rule, source = given.get("rule"), given.get("source")
            if not rule or not source or call.args:
                raise ValueError(f"{place}:{call.lineno}: write rule= and source= of the marker as plain texts.")
            yield Check(rule, source, name)


def _tests_of(body: list[ast.stmt], prefix: str, inherited: list[ast.expr]) -> Iterator[tuple[str, list[ast.expr]]]:
    """Yield each test with every expression that may mark it: its decorators and those it inherits."""
    for statement in body:
        if isinstance(statement, ast.ClassDef):
            marks = [*inherited, *statement.decorator_list, *_pytestmarks(statement.body)]
            yield from _tests_of(statement.body, f"{prefix}::{statement.name}", marks)
        elif isinstance(statement, ast.FunctionDef | ast.AsyncFunctionDef) and statement.name.startswith("test_"):
            yield f"{prefix}::{statement.name}", [*inherited, *statement.decorator_list]


def _pytestmarks(body: list[ast.stmt]) -> list[ast.expr]:
    return [value for name, value in _assignments(body) if name == "pytestmark"]


def _plain_texts(module: ast.Module) -> dict[str, str]:
    """Return the names that the module gives to plain texts, since several markers may share a source."""
    texts: dict[str, str] = {}
    for name, value in _assignments(module.body):
        text = _text(value, texts)
        if text is not None:
            texts[name] = text
    return texts


def _assignments(body: list[ast.stmt]) -> Iterator[tuple[str, ast.expr]]:
    for statement in body:
        if isinstance(statement, ast.Assign) and isinstance(statement.targets[0], ast.Name):
            yield statement.targets[0].id, statement.value
        elif isinstance(statement, ast.AnnAssign) and isinstance(statement.target, ast.Name) and statement.value:
            yield statement.target.id, statement.value


def _text(node: ast.expr, texts: dict[str, str]) -> str | None:
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return " ".join(node.value.split())
    return texts.get(node.id) if isinstance(node, ast.Name) else None


def _is_outside_marker(node: ast.AST) -> bool:
    return isinstance(node, ast.Call) and ast.unparse(node.func).endswith("mark.outside")


def _row(cells: tuple[str, ...]) -> str:
    return "| " + " | ".join(cell.replace("\\", "\\\\").replace("|", "\\|") for cell in cells) + " |"


def _cells(line: str) -> list[str]:
    cells = [""]
    characters = iter(line.strip()[1:-1])
    for character in characters:
        if character == "\\":
            cells[-1] += next(characters, "")
        elif character == "|":
            cells.append("")
        else:
            cells[-1] += character
    return [cell.strip() for cell in cells]


if __name__ == "__main__":
    TABLE.parent.mkdir(exist_ok=True)
    TABLE.write_text(render(collect(ROOT)), encoding="utf-8", newline="\n")
