"""Reading a pasted status page: by reference, with what stands beside each."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breakdesk.rules.claim import Claim
from breakdesk.rules.page_matching import LONGEST_TEXT, match_references, reading_of, reference_key

DAY = date(2026, 1, 1)


def claim(reference: str, tag: str = "", **facts: object) -> Claim:
    return Claim(
        id=1, tag=tag or reference_key(reference), state=facts.pop("state", "submitted"), reference=reference,  # type: ignore[arg-type]
        pull_day=DAY, last_event_on=DAY, **facts,  # type: ignore[arg-type]
    )  # fmt: skip


def test_a_table_with_the_status_beside() -> None:
    page = "Reference\tCard\tStatus\nQW-0022\tAna Moor\tShipped 3 June\nqw 0023\tTove Aldan\tPending\n"
    found = match_references([claim("QW-0022"), claim("QW-0023"), claim("QW-0024")], page)
    assert [(match.claim.reference, match.words, match.reads_as) for match in found.matches] == [
        ("QW-0022", "Ana Moor Shipped 3 June", "on_its_way"),
        ("QW-0023", "Tove Aldan Pending", "no_news"),
    ]
    assert [match.claim.reference for match in found.moved] == ["QW-0022"]
    assert [claim.reference for claim in found.missing] == ["QW-0024"]


def test_the_status_in_the_lines_below() -> None:
    page = "PI 002207\n\nAwaiting signature\n\nPI 002208\nIn production"
    found = match_references([claim("PI 002207"), claim("PI 002208")], page)
    assert [match.reads_as for match in found.matches] == ["waits_signer", "being_made"]


def test_two_references_in_one_line_keep_their_own_words() -> None:
    found = match_references([claim("A-1"), claim("A-2")], "A-1 shipped; A-2 pending")
    assert [(match.words, match.reads_as) for match in found.matches] == [
        ("shipped", "on_its_way"),
        ("pending", "no_news"),
    ]


@pytest.mark.parametrize("written", ["QW-00220", "XQW-0022", "QW-002", "QW0022X", "1QW-0022"])
def test_a_longer_or_shorter_one_is_another(written: str) -> None:
    assert match_references([claim("QW-0022")], f"{written} shipped").matches == ()


def test_the_same_shape_that_nobody_knows_is_named() -> None:
    found = match_references([claim("QW-0022")], "QW-0022 pending\nQW-9999 shipped\nweek 23")
    assert found.unknown == ("QW-9999",)


def test_known_is_no_difference() -> None:
    page = "A1 awaiting signature\nA2 replacement offered\nA3 open\nA4 something else"
    claims = [
        claim("A1", answer="waits_signer"),
        claim("A2", state="offered"),
        claim("A3"),
        claim("A4", answer="no_news"),
    ]
    found = match_references(claims, page)
    assert len(found.matches) == 4
    assert found.moved == ()
    assert found.matches[3].reads_as is None


def test_claims_that_share_a_reference_are_all_found() -> None:
    found = match_references([claim("A1", tag="X"), claim("A1", tag="Y")], "A1 shipped")
    assert [match.claim.tag for match in found.matches] == ["X", "Y"]


def test_a_claim_without_a_reference_is_missing() -> None:
    found = match_references([claim("", tag="BARE")], "anything")
    assert [claim.tag for claim in found.missing] == ["BARE"]


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("We are unable to fill this; shipped back", "refuses"), ("Substitute available", "offers"),
        ("DISPATCHED", "on_its_way"), ("reopened", None), ("", None),
        ("Not yet shipped, in production", "being_made"), ("has not been dispatched", None),
    ],
)  # fmt: skip
def test_what_words_seem_to_say(words: str, answer: str | None) -> None:
    assert reading_of(words) == answer


def test_a_text_that_is_too_long_is_refused() -> None:
    with pytest.raises(ValueError, match="characters"):
        match_references([], "x" * (LONGEST_TEXT + 1))


@given(st.text(max_size=400), st.lists(st.text(max_size=12), max_size=5))
@settings(max_examples=200, deadline=None)
def test_any_text_is_read_and_each_claim_is_found_or_missing(page: str, references: list[str]) -> None:
    claims = [claim(reference, tag=f"T{position}") for position, reference in enumerate(references)]
    found = match_references(claims, page)
    assert sorted([m.claim.tag for m in found.matches] + [c.tag for c in found.missing]) == sorted(
        c.tag for c in claims
    )


@given(st.lists(st.integers(0, 99_999), unique=True, min_size=1, max_size=20), st.sampled_from(["-", " ", "", "/"]))
@settings(max_examples=100, deadline=None)
def test_every_reference_on_the_page_is_found_in_its_order(numbers: list[int], between: str) -> None:
    claims = [claim(f"QW-{number:05d}") for number in numbers]
    page = "\n".join(f"qw{between}{number:05d}: shipped" for number in numbers)
    assert [match.claim for match in match_references(claims, page).matches] == claims
