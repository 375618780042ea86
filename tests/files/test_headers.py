"""Headers in any spelling are understood, and never in two ways."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.files.headers import Kind, columns_of, folded_heading, kind_of, read_header
from breakdesk.files.synonyms import SYNONYMS

KINDS = list(Kind)


@pytest.mark.parametrize("kind", KINDS)
def test_the_documented_columns_are_understood(kind: Kind) -> None:
    header = read_header(columns_of(kind))
    assert header is not None
    assert header.kind is kind
    assert header.columns == columns_of(kind)
    assert not header.unknown
    assert not header.doubled


@pytest.mark.parametrize("kind", KINDS)
def test_no_synonym_means_two_columns_or_is_another_column_of_its_kind(kind: Kind) -> None:
    own = {folded_heading(column) for column in columns_of(kind)}
    seen: dict[str, str] = {}
    for column, words in SYNONYMS[kind.value].items():
        assert column in columns_of(kind)
        for word in words:
            fold = folded_heading(word)
            assert fold not in own, f"{word} is a column itself"
            assert seen.setdefault(fold, column) == column, f"{word} means {seen[fold]} and {column}"
    assert set(SYNONYMS[kind.value]) == set(columns_of(kind))


@given(st.sampled_from(KINDS), st.data())
@settings(max_examples=100, deadline=None)
def test_case_spaces_hyphens_and_underscores_do_not_matter(kind: Kind, data: st.DataObject) -> None:
    columns = data.draw(st.permutations(columns_of(kind)))
    separator = data.draw(st.sampled_from([" ", "-", "_", "", "  "]))
    change = data.draw(st.sampled_from([str.upper, str.title, str.lower]))
    headings = [f" {change(column.replace('_', separator))} " for column in columns]
    header = read_header(headings)
    assert header is not None
    assert header.kind is kind
    assert list(header.columns) == columns


@pytest.mark.parametrize(
    ("headings", "kind"),
    [
        (["spot", "card", "handle", "maker", "house", "pulled_at"], Kind.CLAIMS),
        (["card", "handle", "maker", "house", "spot"], Kind.SPOTS),
        (["handle", "maker", "house", "card"], Kind.CHECKLIST),
        (["maker", "house", "address"], Kind.PARTICIPANTS),
        (["house", "maker"], Kind.MAKERS),
        (["zone", "house"], Kind.HOUSE),
        (["Date Pulled", "Player", "Buyer"], Kind.CLAIMS),
        (["Customer", "Shipping Address"], Kind.PARTICIPANTS),
        (["zone", "colour"], None),
        ([], None),
    ],
)
def test_the_kind_is_the_first_that_fits(headings: list[str], kind: Kind | None) -> None:
    assert kind_of(headings) is kind


@pytest.mark.parametrize(
    ("heading", "column"),
    [
        ("Player", "subject"),
        ("Team Name", "team"),
        ("Buyer", "participant"),
        ("Customer", "participant"),
        ("name", "participant"),
        ("Exp", "expires_on"),
        ("Expiration", "expires_on"),
        ("EXPIRES", "expires_on"),
        ("Print Run", "numbered_to"),
        ("Numbered", "numbered_to"),
        ("Redemption Code", "code"),
        ("Code #", "code"),
    ],
)
def test_what_people_call_the_columns_of_claims(heading: str, column: str) -> None:
    header = read_header(["pulled_at", heading])
    assert header is not None
    assert header.columns[1] == column


def test_our_own_spelling_wins_over_a_synonym_beside_it() -> None:
    header = read_header(["spot", "handle", "Participant"])
    assert header is not None
    assert header.columns == ("spot", None, "participant")
    assert header.unknown == ("handle",)


def test_two_synonyms_of_one_column_are_doubled() -> None:
    header = read_header(["spot", "Buyer", "Customer"])
    assert header is not None
    assert header.doubled == (("participant", "Buyer", "Customer"),)


def test_a_sheet_of_cards_with_a_maker_and_no_known_date_is_no_list_of_makers() -> None:
    assert kind_of(["Date", "Player / Card", "Serial", "Buyer", "Maker", "Status", "Notes"]) is Kind.CLAIMS
    assert kind_of(["Maker", "Name", "Contact", "Notes"]) is Kind.MAKERS
