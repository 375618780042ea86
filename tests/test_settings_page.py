"""The page about settings says what the program takes."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

from breakdesk.tui.machine import read_machine
from breakdesk.tui.theme import THEME_WORDS

PAGE = (Path(__file__).parents[1] / "docs" / "settings.md").read_text(encoding="utf-8")


def test_its_example_is_taken_as_it_stands(tmp_path):
    (example,) = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
    file = tmp_path / "settings.toml"
    file.write_text(example)
    found = read_machine(file)
    assert found.problems == ()
    assert found.machine.theme == "day"
    assert dict(found.machine.keys) == tomllib.loads(example)["keys"]


def test_every_look_is_named():
    for name in THEME_WORDS:
        assert f"`{name}`" in PAGE
