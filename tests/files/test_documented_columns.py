"""The page about files names every column and every other name for it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from breakdesk.cli.arrivals import COLUMNS as ARRIVAL_COLUMNS
from breakdesk.desk.postage import POSTAGE_COLUMNS
from breakdesk.desk.postage_back import RETURN_COLUMNS
from breakdesk.files.headers import Kind, columns_of
from breakdesk.files.row_readers import FORMATS
from breakdesk.files.synonyms import SYNONYMS
from breakdesk.rules.claim import CLOSINGS, FAULTS, KINDS, PLANS
from breakdesk.rules.terms import EXPIRED_POLICIES

DOCS = Path(__file__).resolve().parents[2] / "docs"
PAGE = (DOCS / "files.md").read_text(encoding="utf-8")
PARCELS = (DOCS / "parcels.md").read_text(encoding="utf-8")


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


def test_the_page_about_parcels_names_the_columns_of_its_files() -> None:
    # The page says "`address_1` to `address_6`".
    between = {f"address_{number}" for number in range(2, 6)}
    assert [column for column in POSTAGE_COLUMNS if f"`{column}`" not in PARCELS and column not in between] == []
    for column, others in {**ARRIVAL_COLUMNS, **RETURN_COLUMNS}.items():
        (found,) = re.findall(rf"^\| `{column}` \| .+ \| (.*) ?\|$", PARCELS, re.MULTILINE)
        assert found.strip() == ", ".join(others)
