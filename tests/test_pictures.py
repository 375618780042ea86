"""The pictures of the guide are what the screens look like now."""

from __future__ import annotations

import sys
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest

from .tui.waiting import wait_by_the_loop

DOCS = Path(__file__).resolve().parents[1] / "docs"


def test_every_picture_is_drawn_from_the_screens_of_today() -> None:
    spec = spec_from_file_location("make_pictures", DOCS / "make_pictures.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    with pytest.MonkeyPatch.context() as patch:
        wait_by_the_loop(patch)
        drawn = module.draw_all()
    kept = {path.name: path.read_text(encoding="utf-8") for path in (DOCS / "pictures").glob("*.svg")}
    stale = sorted(name for name in {*drawn, *kept} if drawn.get(name) != kept.get(name))
    assert stale == [], "run: python docs/make_pictures.py, then look at what changed"


def test_every_picture_stands_in_the_guide_and_has_words_beside_it() -> None:
    pages = "".join(path.read_text(encoding="utf-8") for path in DOCS.glob("*.md"))
    for path in (DOCS / "pictures").glob("*.svg"):
        before, _, _ = pages.partition(f"](pictures/{path.name})")
        assert before != pages, path.name
        assert len(before.rpartition("![")[2]) > 20, f"{path.name}: say in words what it shows"
