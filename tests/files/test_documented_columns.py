"""The page about files names every column and every other name for it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from breakdesk.files.headers import Kind, columns_of
from breakdesk.files.row_readers import FORMATS
from breakdesk.files.synonyms import SYNONYMS
from breakdesk.rules.claim import CLOSINGS, FAULTS, KINDS, PLANS
from breakdesk.rules.terms import EXPIRED_POLICIES

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "files.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("kind", list(Kind))
def test_the_table_of_a_kind_holds_its_columns_and_their_other_names(kind: Kind) -> None:
    section = PAGE.split(f"### {kind.value.capitalize()}\n")[1].split("\n#")[0]
    rows = re.findall(r"^\| `(\w+)` \| .+ \| (.+) \|$", section, re.MULTILINE)
    assert [name for name, _ in rows] == list(columns_of(kind))
    for name, others in rows:
        assert tuple(others.split(", ")) == SYNONYMS[kind.value][name]


@pytest.mark.parametrize("word", [*FORMATS, *CLOSINGS, *FAULTS, *KINDS, *PLANS, *EXPIRED_POLICIES])
def test_every_word_that_a_cell_may_hold_is_on_the_page(word: str) -> None:
    assert f"`{word}`" in PAGE
