"""The pages keep to what the program does."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from breakdesk.cli.root import COMMANDS

ROOT = Path(__file__).resolve().parents[2]


def fenced(path: Path) -> list[str]:
    """The fenced blocks of a page."""
    return re.findall(r"^```\w*\n(.*?)^```$", path.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_on_its_page(command: str) -> None:
    page = (ROOT / "docs" / "command-line.md").read_text(encoding="utf-8")
    assert re.search(rf"`{command}\b", page)


def test_readme_begins_with_its_two_commands() -> None:
    shows, tests = fenced(ROOT / "README.md")[:2]
    assert shows.endswith("breakdesk try\n")
    assert tests.endswith("pytest -n 4\n")
    assert shows.count("\n") == tests.count("\n") == 1


def test_readme_links_lead_somewhere() -> None:
    links = re.findall(r"\]\(([^)#:]+)\)", (ROOT / "README.md").read_text(encoding="utf-8"))
    assert links
    assert [link for link in links if not (ROOT / link).exists()] == []
