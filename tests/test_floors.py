"""The floors: a module imports only from its own floor's parts and from the floors below."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

import breakdesk

PACKAGE = Path(breakdesk.__file__).parent
FLOORS = {"rules": 1, "store": 2, "desk": 3, "files": 3, "tui": 4, "cli": 4}
ENGINE = {"peewee", "playhouse", "sqlite3"}
BANNED = {
    "rules": {"peewee", "playhouse", "sqlite3", "textual", "click", "pendulum"},
    "store": {"textual", "click", "rich"},
    "desk": {"textual", "click", "rich", "playhouse", "sqlite3"},
    "files": {"textual", "click", "rich", *ENGINE},
    "tui": {"click", *ENGINE},
    "cli": {"textual", *ENGINE},
}
MODULES = sorted(PACKAGE.rglob("*.py"))


def named(path: Path) -> tuple[str, ...]:
    """A module's dotted name in parts."""
    parts = ("breakdesk", *path.relative_to(PACKAGE).with_suffix("").parts)
    return parts[:-1] if parts[-1] == "__init__" else parts


def imported(path: Path) -> Iterator[tuple[str, ...]]:
    """The dotted names that a module imports anywhere in it, also inside functions."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (tuple(alias.name.split(".")) for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} has a relative import"
            module = tuple((node.module or "").split("."))
            yield from ((*module, alias.name) for alias in node.names)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: ".".join(named(path)))
def test_a_floor_imports_only_from_the_floors_below(path: Path) -> None:
    own = named(path)[1:2]
    floor = own[0] if own and own[0] in FLOORS else None
    for name in imported(path):
        if floor is not None:
            assert name[0] not in BANNED[floor], f"{floor} imports {name[0]}"
        if name[0] != "breakdesk" or len(name) < 2 or name[1] not in FLOORS:
            continue
        assert floor is not None or path.name == "__main__.py", f"{path} belongs to no floor and imports {name[1]}"
        if floor is None or floor == name[1]:
            continue
        if (floor, name[1]) == ("desk", "files"):
            continue  # an action may word its message; files never know of the desk
        if (floor, name[:3]) == ("cli", ("breakdesk", "tui", "app")):
            continue  # a command starts the screen, and only then is it imported: see below
        assert FLOORS[floor] > FLOORS[name[1]], f"{floor} imports {'.'.join(name)}"


@pytest.mark.parametrize(
    ("module", "unwanted"),
    [
        ("breakdesk.rules.rounds.today", ("peewee", "textual", "click", "sqlite3", "pendulum", "holidays")),
        ("breakdesk.rules.owed", ("peewee", "textual")),
        ("breakdesk.store.opening", ("textual", "click", "psycopg2", "holidays")),
        ("breakdesk.desk.viewing", ("textual", "click", "holidays")),
        ("breakdesk.cli", ("textual", "holidays")),
    ],
)
def test_what_importing_a_module_loads(module: str, unwanted: tuple[str, ...]) -> None:
    script = f"import sys, {module}; print(*sorted(name for name in {unwanted!r} if sys.modules.get(name) is not None))"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == ""
