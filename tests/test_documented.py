"""Nothing can be done that no page tells of: keys, commands, options, terms; and every link leads somewhere."""

from __future__ import annotations

import re
import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from types import ModuleType

import pytest

ROOT = Path(__file__).resolve().parents[1]
DOCS = ROOT / "docs"
PAGES = sorted([*DOCS.rglob("*.md"), ROOT / "README.md", ROOT / "DEVELOPERS.md"])


@pytest.fixture(scope="module")
def make_pages() -> ModuleType:
    """The script that writes the pages."""
    spec = spec_from_file_location("make_pages", DOCS / "make_pages.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.mark.parametrize("name", ["keys.md", "commands.md", "terms.md"])
def test_a_page_read_off_the_program_says_what_the_program_does(make_pages: ModuleType, name: str) -> None:
    written = (DOCS / name).read_text(encoding="utf-8").splitlines()
    wanted = make_pages.PAGES[name]().splitlines()
    missing = [line for line in wanted if line not in set(written)]
    assert missing == [], "run: python docs/make_pages.py"
    assert written == wanted, "run: python docs/make_pages.py"


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
