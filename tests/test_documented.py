"""Nothing can be done that no page tells of: keys, commands, options, terms; and every link leads somewhere."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import click
import pytest

from breakdesk.cli.root import breakdesk as program

ROOT = Path(__file__).resolve().parents[1]
DOCS = ROOT / "docs"
PAGES = sorted([*DOCS.rglob("*.md"), ROOT / "README.md", ROOT / "DEVELOPERS.md"])


def _page_of_a_fresh_program(name: str) -> str:
    """A page as a process of its own reads it off: other tests register commands of theirs in this one."""
    code = "import runpy, sys; sys.stdout.write(runpy.run_path('make_pages.py')['PAGES'][sys.argv[1]]())"
    environment = {**os.environ, "PYTHONUTF8": "1"}
    done = subprocess.run(
        [sys.executable, "-c", code, name], cwd=DOCS, env=environment, capture_output=True, check=True
    )
    return done.stdout.decode("utf-8")


@pytest.mark.parametrize("name", ["keys.md", "commands.md", "terms.md"])
def test_a_page_read_off_the_program_says_what_the_program_does(name: str) -> None:
    written = (DOCS / name).read_text(encoding="utf-8").splitlines()
    wanted = _page_of_a_fresh_program(name).splitlines()
    missing = [line for line in wanted if line not in set(written)]
    assert missing == [], "run: python docs/make_pages.py"
    assert written == wanted, "run: python docs/make_pages.py"


def _commands_named(page: Path) -> list[tuple[str, list[str]]]:
    """What stands on a page as something to type: the words behind `breakdesk`."""
    text = page.read_text(encoding="utf-8")
    fenced = re.findall(r"^(?:\$ )?(?:\S*/)?breakdesk ([^\s#].*?)(?:\s+#.*)?$", text, re.MULTILINE)
    inline = re.findall(r"`breakdesk ([^`\n]+)`", text)
    return [(line, re.split(r"[\s|,…]+", line)) for line in [*fenced, *inline]]


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_command_that_a_page_names_exists_with_its_options(page: Path) -> None:
    unknown = []
    for line, words in _commands_named(page):
        command: click.Command = program
        for word in words:
            step = command.get_command(click.Context(command), word) if isinstance(command, click.Group) else None
            if step is not None:
                command = step
                continue
            known = {name for option in command.params for name in (*option.opts, *option.secondary_opts)}
            if re.fullmatch(r"--?[a-z][\w-]*", word) and word not in known | {"--help", "-h", "--version"}:
                unknown.append(f"{word} in: breakdesk {line}")
        if command is program and not any(word.startswith("-") or word in ("…", "COMMAND") for word in words):
            unknown.append(f"breakdesk {line}")
    assert unknown == []


def _anchors(page: Path) -> set[str]:
    """The places of a page that a link can name, as forges make them of its headings."""
    headings = re.findall(r"^#+ (.+)$", page.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", heading.lower()).replace(" ", "-") for heading in headings}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_every_link_of_a_page_leads_somewhere(page: Path) -> None:
    broken = []
    for link in re.findall(r"\]\(([^)\s]+)\)", page.read_text(encoding="utf-8")):
        target, _, anchor = link.partition("#")
        if "://" in link or link.startswith("mailto:"):
            continue
        place = page if not target else (page.parent / target)
        if not place.exists() or (anchor and anchor not in _anchors(place)):
            broken.append(link)
    assert broken == []


def test_every_page_is_reached_from_the_guide() -> None:
    guide = (DOCS / "guide.md").read_text(encoding="utf-8")
    names = {page.name for page in DOCS.glob("*.md")} - {"guide.md"}
    assert sorted(name for name in names if f"]({name}" not in guide) == []
